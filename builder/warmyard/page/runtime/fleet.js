// The machine of a page, chosen once: its sheet fills every box and every value that names a field of it.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  /** @type {any} */
  var chosen = null;
  /** @type {any[]} */
  var watching = [];
  var filling = false;

  function each(selector, act) {
    Array.prototype.forEach.call(document.querySelectorAll(selector), act);
  }

  // A value as it stands in a box beside its unit: the unit is not said twice.
  function inBox(typed, unit) {
    var parts = typed.split(" ");
    var own = parts.length > 1 ? WY.units.shown[parts[1]] : "";
    return own === "" || own === unit ? parts[0] : parts[0] + " " + own;
  }

  function fill(input, text) {
    filling = true;
    input.value = text;
    input.dispatchEvent(new Event("input", { bubbles: true }));
    filling = false;
  }

  // Under a box stands where its value comes from; what was typed over it is marked, and one press puts it back.
  function follow(input) {
    var unit = input.parentNode.querySelector(".wy-calculator__unit");
    var from = WY.element("span", { class: "wy-from" });
    input.closest(".wy-calculator__row").append(from);

    function ofSheet() {
      fill(input, inBox(WY.fleet[chosen].fields[input.getAttribute("data-wy-field")].typed, unit ? unit.textContent : ""));
      from.replaceChildren(WY.word("survey.from-machine", { machine: WY.fleet[chosen].name }));
    }

    function putBack() {
      ofSheet();
      input.focus();
    }

    input.addEventListener("input", function () {
      if (!filling) {
        from.replaceChildren(WY.fleetChoice.byHand(input.labels[0].textContent, putBack));
      }
    });
    watching.push(ofSheet);
  }

  // What marks a value that a person typed over, with the button that puts it back.
  function byHand(means, putBack) {
    var button = WY.button("survey.put-back", putBack, { class: "wy-put-back" });
    button.setAttribute("aria-label", WY.word("survey.put-back-of", { means: means }));
    return WY.element("span", { class: "wy-by-hand" }, WY.element("strong", {}, WY.word("survey.by-hand")), " ", button);
  }

  function say(span) {
    watching.push(function () {
      var field = WY.fleet[chosen].fields[span.getAttribute("data-wy-sheet")];
      span.textContent = field.shown.replace(/ /g, "\u00a0");
      span.title = WY.word("survey.from-machine", { machine: WY.fleet[chosen].name });
    });
  }

  function choose(machine) {
    chosen = machine;
    each("[data-wy-machine]", function (select) {
      select.value = machine;
    });
    watching.forEach(function (act) {
      act(machine);
    });
  }

  function start() {
    /** @type {any} */
    var select = document.querySelector("[data-wy-machine]");
    if (!select) {
      return;
    }
    var key = "machine:" + select.getAttribute("data-wy-machine");
    each("[data-wy-field]", follow);
    each(".wy-page [data-wy-sheet]", function (span) {
      if (span.getAttribute("data-wy-sheet").indexOf(".") < 0) {
        say(span);
      }
    });
    each("[data-wy-machine]", function (one) {
      one.addEventListener("change", function () {
        WY.store.set(key, one.value);
        choose(one.value);
      });
    });
    var kept = WY.store.get(key);
    choose(Object.prototype.hasOwnProperty.call(WY.fleet, kept) ? kept : select.options[0].value);
  }

  WY.fleetChoice = {
    byHand: byHand,
    machine: function () {
      return chosen;
    },
    watch: function (act) {
      watching.push(act);
    },
  };
  WY.whenReady(start);
})();
