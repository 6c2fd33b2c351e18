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
      element: WY.element("div", { class: "wy-number" }, row, keys && keys.element, verdicts && verdicts.element),
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
          keys.element.remove();
        }
        if (verdicts) {
          verdicts.lock();
        }
      },
      focus: function () {
        var blank = verdicts && input.value.trim() && !verdicts.chosen().length;
        (blank ? verdicts.inputs[0] : input).focus();
      },
      // After "not yet" the first key begins a new answer: typed on the keyboard or tapped on the keys of the page.
      refused: function () {
        if (keys) {
          keys.startAnew();
        }
        input.select();
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

  // The slip by its name, or what kind of wrong it is; never the number itself.
  function retry(variant, response, mark) {
    var key = variant.key;
    var value = WY.number.read(response.text, key.unit).value;
    var slip = key.slips.filter(function (one) {
      return one.id === mark.slip;
    })[0];
    if (slip) {
      return slip.say;
    }
    if (mark.share > 0) {
      return WY.word("practice.number_right");
    }
    return WY.word(isTenfold(value, key) ? "practice.slip_ten" : isMirrored(value, key) ? "practice.slip_sign" : "practice.no_slip");
  }

  function isTenfold(value, key) {
    return [1e-6, 1e-3, 0.01, 0.1, 10, 100, 1e3, 1e6].some(function (power) {
      return Math.abs(value - key.value * power) <= key.tolerance * power;
    });
  }

  function isMirrored(value, key) {
    return key.value !== 0 && Math.abs(value + key.value) <= key.tolerance;
  }

  // In words what to look for, the formula in words, the first step with the numbers.
  function rungs(variant, part, helps) {
    var steps = variant.key.steps;
    var chained = Object.keys(variant.key.links || {}).length > 1;
    if (!helps) {
      return [];
    }
    return [
      function () {
        return WY.element("p", {}, helps.think);
      },
      function () {
        return WY.builtHtml("div", {}, helps.formula);
      },
      function () {
        return steps.slice(chained ? 0 : 1, chained ? 3 : 2).map(function (step) {
          return WY.builtHtml("div", { class: "wy-step-line" }, step);
        });
      },
    ];
  }

  WY.kinds.numeric = {
    control: control,
    isBlank: isBlank,
    worked: worked,
    answer: answer,
    retry: retry,
    rungs: rungs,
    redraws: true,
  };
})();
