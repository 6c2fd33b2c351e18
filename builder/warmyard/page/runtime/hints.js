// What helps before the answer is shown: a second try with what is wrong in words, and hints, a rung at a time.
(function () {
  "use strict";
  var WY = globalThis.WY;

  // The hints of an item that are the same in every draw: {think, formula, sheet}, or null.
  WY.helpsOf = function (item) {
    var found = (WY.packs || []).filter(function (pack) {
      return pack.helps && Object.prototype.hasOwnProperty.call(pack.helps, item);
    })[0];
    var helps = found ? found.helps[item] : null;
    return helps && { think: helps[0], formula: helps[1], sheet: helps[2] };
  };

  // The rungs of a problem, the gentlest first; the answer itself is no rung. Each is a function that gives an element.
  WY.rungsOf = function (shown) {
    var kind = WY.kinds[shown.variant.question.kind];
    return kind.rungs ? kind.rungs(shown.variant, shown.control, WY.helpsOf(shown.variant.question.item)) : [];
  };

  // What is said at the first wrong answer instead of the key; nothing where there is no second try.
  WY.retrySaid = function (shown, mark) {
    var kind = WY.kinds[shown.variant.question.kind];
    var tries = kind.retry && !mark.right && !mark.critical_fail;
    return tries ? kind.retry(shown.variant, shown.control.response(), mark, shown.control) : "";
  };

  // One wrong option after another, with its reason, as long as two are left to choose from.
  WY.strikes = function (variant, control) {
    var options = variant.question.options;
    var wrong = options.filter(function (one) {
      return variant.key.right.indexOf(one.id) < 0;
    });
    var most = Math.min(wrong.length, options.length - 2);
    return wrong.slice(0, Math.max(0, most)).map(function () {
      return function () {
        var next = wrong.filter(function (one) {
          return !control.isStruck(one.id);
        })[0];
        control.strike([next.id]);
        var text = (variant.key.names || {})[next.id] || next.text;
        return WY.element("p", {}, WY.word("practice.struck", { text: WY.marking.bare(text), why: variant.key.why[next.id] || "" }));
      };
    });
  };

  // Formula and sheet of a problem, each a tap away; opening the formula is noted as a hint.
  WY.atHand = function (shown, noted) {
    var helps = WY.helpsOf(shown.variant.question.item);
    if (!helps) {
      return null;
    }
    var formula = WY.builtHtml("div", {}, helps.formula);
    var values = {};
    (shown.variant.question.given || []).forEach(function (one) {
      values[one.id] = one.text;
    });
    var rows = helps.sheet.map(function (one) {
      return WY.element("li", {}, one[1], ": ", WY.element("b", {}, values[one[0]] || ""));
    });
    return WY.element(
      "div",
      { class: "wy-at-hand" },
      panel("practice.formula", formula, noted),
      rows.length ? panel("practice.sheet", WY.element("ul", {}, rows), null) : null,
    );
  };

  function panel(word, body, opened) {
    var box = WY.element("details", { class: "wy-panel" }, WY.element("summary", {}, WY.word(word)), body);
    box.addEventListener("toggle", function () {
      if (box.open && opened) {
        opened();
      }
    });
    return box;
  }
})();
