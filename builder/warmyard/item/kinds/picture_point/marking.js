// The mark of a point, as marking.py gives it.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var marking = WY.marking;

  function point(question, key, response) {
    var given = response.point;
    if (typeof given !== "string" || !given) {
      return marking.notUnderstood(marking.word("choose"));
    }
    if (marking.ids(question.options).indexOf(given) < 0) {
      return marking.notUnderstood(marking.word("unknown_answer"));
    }
    var text = marking.bare((key.names || {})[given] || given);
    if (key.right.indexOf(given) >= 0) {
      return marking.made(true, 1, marking.word("point_right", { text: text }));
    }
    return marking.made(false, 0, marking.word("point_wrong", { text: text, why: key.why[given] || "" }), { slip: given });
  }

  marking.ways.point = point;
})();
