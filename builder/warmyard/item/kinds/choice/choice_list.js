// A list of options: real radio buttons or tick boxes, each with its whole line as label.
(function () {
  "use strict";
  var WY = globalThis.WY;

  // A list of options as radios or tick boxes; also used for verdicts, causes behind, and what makes a machine fit.
  WY.choiceList = function (options, several, label, changed) {
    var name = WY.newId();
    var inputs = [];
    var rows = options.map(function (option) {
      var attributes = { type: several ? "checkbox" : "radio", name: name, value: option.id, onchange: changed };
      var input = WY.element("input", attributes);
      inputs.push(input);
      return WY.element("label", { class: "wy-option" }, input, WY.element("span", {}, WY.unbroken(option.text)));
    });
    var legend = WY.element("legend", { class: label.hidden ? "wy-unseen" : "wy-legend" }, label.text);
    var list = WY.element("div", { class: "wy-option-list" }, rows);
    var box = WY.element("fieldset", { class: "wy-options-box" }, legend, list);
    return {
      element: box,
      list: list,
      inputs: inputs,
      chosen: function () {
        return inputs
          .filter(function (input) {
            return input.checked;
          })
          .map(function (input) {
            return input.value;
          });
      },
      choose: function (ids) {
        inputs.forEach(function (input) {
          input.checked = (ids || []).indexOf(input.value) >= 0;
        });
      },
      lock: function () {
        inputs.forEach(disable);
      },
      // Crosses options out: they can be chosen no more.
      strike: function (ids) {
        inputs.forEach(function (input) {
          if (ids.indexOf(input.value) >= 0) {
            input.checked = false;
            disable(input);
            input.parentNode.classList.add("wy-option--struck");
          }
        });
      },
      isStruck: function (id) {
        return inputs.some(function (input) {
          return input.value === id && input.disabled;
        });
      },
      tell: function (right) {
        tell(inputs, right);
      },
    };
  };

  function disable(input) {
    input.disabled = true;
  }

  // Says at each option that is right, and at each that was chosen and is not, what it is.
  function tell(inputs, right) {
    inputs.forEach(function (input) {
      var isRight = right.indexOf(input.value) >= 0;
      if (isRight || input.checked) {
        input.parentNode.classList.remove("wy-option--struck");
        input.parentNode.classList.add(isRight ? "wy-option--right" : "wy-option--wrong");
        input.nextSibling.append(WY.told(!isRight ? "wrong" : input.checked ? "right" : "missed"));
      }
    });
  }

  // The first option that can still be chosen.
  WY.focusFirst = function (inputs) {
    (inputs.filter(function (input) {
      return !input.disabled;
    })[0] || inputs[0]).focus();
  };
})();
