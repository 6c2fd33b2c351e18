// Choose one, or several: real radio buttons or tick boxes, each with its whole line as label.
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
      return WY.element("label", { class: "wy-option" }, input, WY.element("span", {}, option.text));
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
        inputs.forEach(function (input) {
          input.disabled = true;
        });
      },
      // Says at each option that is right, and at each that was chosen and is not, what it is.
      tell: function (right) {
        inputs.forEach(function (input) {
          var isRight = right.indexOf(input.value) >= 0;
          if (isRight || input.checked) {
            input.parentNode.classList.add(isRight ? "wy-option--right" : "wy-option--wrong");
            input.nextSibling.append(WY.told(!isRight ? "wrong" : input.checked ? "right" : "missed"));
          }
        });
      },
    };
  };

  function control(question) {
    var label = { text: WY.word(question.several ? "practice.choose_several" : "practice.choose_one") };
    var list = WY.choiceList(question.options, question.several, label);
    return {
      element: list.element,
      response: function () {
        return { chosen: list.chosen() };
      },
      restore: function (response) {
        list.choose(response.chosen);
      },
      lock: list.lock,
      focus: function () {
        list.inputs[0].focus();
      },
      reveal: function (variant) {
        list.tell(variant.key.right);
      },
    };
  }

  function isBlank(response) {
    return !response.chosen.length;
  }

  function worked(variant) {
    var reasons = variant.question.options.map(function (option) {
      return WY.element("li", {}, WY.element("b", {}, option.text), " ", variant.key.why[option.id] || "");
    });
    return { word: "practice.reasons", body: WY.element("ul", {}, reasons) };
  }

  function answer(variant) {
    return WY.textsOf(variant.question.options, variant.key.right);
  }

  WY.kinds.choice = { control: control, isBlank: isBlank, worked: worked, answer: answer };
})();
