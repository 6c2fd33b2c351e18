// The mark of chosen options, as marking.py gives it.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var marking = WY.marking;

  function choice(question, key, response) {
    var chosen = marking.namedIds(response.chosen);
    if (!chosen || !chosen.length) {
      return marking.notUnderstood(marking.word("choose"));
    }
    var offered = marking.texts(question.options);
    var strange = chosen.some(function (id) {
      return !(id in offered);
    });
    if (strange || (chosen.length > 1 && !question.several)) {
      return marking.notUnderstood(marking.word("unknown_answer"));
    }
    var wrong = chosen.filter(function (id) {
      return key.right.indexOf(id) < 0;
    });
    var missed = key.right.filter(function (id) {
      return chosen.indexOf(id) < 0;
    });
    if (!wrong.length && !missed.length) {
      return allRight(key);
    }
    var found = chosen.length - wrong.length;
    var share = question.several ? Math.max(0, (found - wrong.length) / key.right.length) : 0;
    var reason = wrong.length ? key.why[wrong[0]] || "" : missedReason(key, offered, missed);
    return marking.made(false, share, reason, { slip: wrong.concat(missed)[0] });
  }

  // The first that is missing, and how many are.
  function missedReason(key, offered, missed) {
    var parts = { text: offered[missed[0]] || "", why: key.why[missed[0]] || "", count: missed.length };
    return marking.word(missed.length > 1 ? "missed_more" : "missed", parts);
  }

  // Where several are right there is no one reason to say.
  function allRight(key) {
    var why = key.right.length === 1 ? key.why[key.right[0]] || "" : "";
    return marking.made(true, 1, marking.word("right_why", { why: why }));
  }

  marking.ways.choice = choice;
})();
