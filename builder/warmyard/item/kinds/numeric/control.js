// A number with its unit in one box, and what it means where the item asks for that too.
(function () {
  "use strict";
  var WY = globalThis.WY;

  function control(question) {
    var unit = (WY.units && WY.units.shown[question.unit]) || "";
    var input = numberInput(unit);
    var asks = unit ? WY.word("practice.your_answer", { unit: unit }) : WY.word("practice.your_answer_plain");
    var row = WY.element(
      "div",
      { class: "wy-field" },
      WY.element("label", { for: input.id }, asks),
      WY.element("span", { class: "wy-field-box" }, input, unit && WY.element("span", { "aria-hidden": "true" }, unit)),
    );
    var keys = unitTable() && WY.keypad ? WY.keypad(input, question.unit) : null;
    var options = question.options || [];
    var verdicts = options.length ? WY.choiceList(options, false, { text: WY.word("practice.verdict") }) : null;
    return {
      element: WY.element("div", { class: "wy-number" }, row, keys, verdicts && verdicts.element),
      input: input,
      response: function () {
        var response = { text: input.value };
        if (verdicts) {
          response.verdict = verdicts.chosen()[0] || "";
        }
        return response;
      },
      restore: function (response) {
        input.value = response.text || "";
        if (verdicts) {
          verdicts.choose([response.verdict]);
        }
      },
      lock: function () {
        input.readOnly = true;
        if (keys) {
          keys.remove();
        }
        if (verdicts) {
          verdicts.lock();
        }
      },
      focus: function () {
        var blank = verdicts && input.value.trim() && !verdicts.chosen().length;
        (blank ? verdicts.inputs[0] : input).focus();
      },
      reveal: function (variant) {
        tellNumber(row, variant, input.value);
        if (verdicts) {
          verdicts.tell([variant.key.verdict]);
        }
      },
    };
  }

  function numberInput(unit) {
    return WY.element("input", {
      type: "text",
      id: WY.newId(),
      class: "wy-input",
      // A phone's number pad has no minus sign and no letters: temperatures get the whole keyboard.
      inputmode: unit.indexOf("°") >= 0 ? "text" : "decimal",
      autocomplete: "off",
      autocapitalize: "off",
      spellcheck: "false",
      maxlength: 60,
    });
  }

  function unitTable() {
    return WY.units && WY.units.shown;
  }

  // The number alone, whatever was said of its meaning.
  function tellNumber(row, variant, text) {
    var number = WY.marking.mark(variant, { text: text, verdict: variant.key.verdict });
    if (number.understood) {
      row.classList.add(number.right ? "wy-field--right" : "wy-field--wrong");
      row.append(WY.told(number.right ? "right" : "wrong"));
    }
  }

  function isBlank(response) {
    return !response.text.trim() && !response.verdict;
  }

  function worked(variant) {
    var steps = variant.key.steps.map(function (step) {
      return WY.builtHtml("div", { class: "wy-step-line" }, step);
    });
    return steps.length ? { word: "practice.steps", body: WY.scrollable(steps, "practice.steps") } : null;
  }

  function answer(variant) {
    return variant.key.shown;
  }

  WY.kinds.numeric = { control: control, isBlank: isBlank, worked: worked, answer: answer, redraws: true };
})();
