// Choose one, or several.
(function () {
  "use strict";
  var WY = globalThis.WY;

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
      strike: list.strike,
      isStruck: list.isStruck,
      focus: function () {
        WY.focusFirst(list.inputs);
      },
      reveal: function (variant) {
        list.tell(variant.key.right);
      },
    };
  }

  // A wrong option is crossed out with its reason; of several, how many are missing is said. Of two, one is the answer.
  function retry(variant, response, mark, part) {
    var wrong = response.chosen.filter(function (id) {
      return variant.key.right.indexOf(id) < 0;
    });
    if (!variant.question.several && variant.question.options.length < 3) {
      return "";
    }
    if (!wrong.length) {
      var count = variant.key.right.length - response.chosen.length;
      return WY.word(count === 1 ? "practice.too_few_one" : "practice.too_few", { count: count });
    }
    part.strike(wrong.slice(0, 1));
    var text = WY.textsOf(variant.question.options, wrong.slice(0, 1));
    return WY.word("practice.not_that", { text: text, why: variant.key.why[wrong[0]] || "" });
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

  WY.kinds.choice = {
    control: control,
    isBlank: isBlank,
    worked: worked,
    answer: answer,
    retry: retry,
    rungs: WY.strikes,
  };
})();
