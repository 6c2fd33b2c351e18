// A number with its unit in one box, and what it means where the item asks for that too.
(function () {
  "use strict";
  var WY = globalThis.WY;
  // Further away than this share no rounding is meant.
  var ROUGH = 0.3;

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
      unread: function (said) {
        markUnread(input, said);
      },
      refused: function () {
        beginAnew(input, keys);
      },
      reveal: function (variant) {
        tellNumber(row, variant, input.value);
        if (verdicts) {
          verdicts.tell([variant.key.verdict]);
        }
      },
    };
  }

  // What cannot be read is marked as such, with the sentence that says why, until it is changed.
  function markUnread(input, said) {
    said.id = said.id || WY.newId();
    input.setAttribute("aria-invalid", "true");
    input.setAttribute("aria-describedby", said.id);
    input.addEventListener("input", function () {
      input.removeAttribute("aria-invalid");
      input.removeAttribute("aria-describedby");
    }, { once: true });
  }

  // After "not yet" the first key begins a new answer: typed on the keyboard or tapped on the keys of the page.
  function beginAnew(input, keys) {
    if (keys) {
      keys.startAnew();
    }
    input.select();
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
    if (isThousandfold(value, key)) {
      return WY.word("practice.slip_thousand");
    }
    if (isRounded(response.text, key)) {
      return WY.word("practice.too_rough");
    }
    return WY.word(isTenfold(value, key) ? "practice.slip_ten" : isMirrored(value, key) ? "practice.slip_sign" : "practice.no_slip");
  }

  function isThousandfold(value, key) {
    return [1e-3, 1e3].some(function (power) {
      return Math.abs(value - key.value * power) <= key.tolerance * power;
    });
  }

  // The answer itself, with fewer figures than it needs.
  function isRounded(text, key) {
    var digits = (/[0-9][0-9.,]*/.exec(text) || [""])[0];
    var value = WY.number.read(text, key.unit).value;
    var decimals = (digits.split(/[.,]/)[1] || "").length;
    var step = decimals || !/0$/.test(digits) ? Math.pow(10, -decimals) : Math.pow(10, digits.length - digits.replace(/0+$/, "").length);
    return value !== 0 && Math.abs(value - key.value) <= step / 2 && Math.abs(value - key.value) < ROUGH * Math.abs(key.value);
  }

  function isTenfold(value, key) {
    return [1e-6, 0.01, 0.1, 10, 100, 1e6].some(function (power) {
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
