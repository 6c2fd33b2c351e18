// The mark of a number with its unit, as marking.py gives it.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var marking = WY.marking;
  var WHOLE_REACH = 0.05;
  var LARGEST_SHARE = 0.02;
  var ROUNDING = 1e-9;

  function number(question, key, response) {
    if (typeof response.text !== "string" || !response.text.trim()) {
      return marking.notUnderstood(marking.word("blank"));
    }
    var read = WY.number.read(response.text, key.unit);
    if (read.problem) {
      return marking.notUnderstood(marking.sentence(read.problem));
    }
    var options = question.options || [];
    if (options.length && marking.ids(options).indexOf(response.verdict) < 0) {
      return marking.notUnderstood(marking.word("verdict_missing"));
    }
    if (meets(read.value, key.value, key.tolerance)) {
      return verdict(options, key, response.verdict);
    }
    return missedNumber(read.value, key);
  }

  // The first known slip that the value meets; one made in one link of a chain earns the other links.
  function missedNumber(value, key) {
    var slip = key.slips.filter(function (one) {
      return meets(value, one.value, reachOf(one.value, key));
    })[0];
    if (!slip) {
      return marking.made(false, 0, marking.word("number_wrong", { shown: key.shown }));
    }
    var count = Object.keys(key.links || {}).length;
    var carried = Boolean(slip.link) && count > 1;
    var reason = marking.word(carried ? "number_carried" : "number_slip", { say: slip.say, shown: key.shown });
    return marking.made(false, carried ? 1 - 1 / count : 0, reason, { slip: slip.id });
  }

  // How near a slip must be met: a share of its own value where the tolerance is one; else the tolerance, and more
  // for a slip far above the answer.
  function reachOf(slip, key) {
    if (key.share) {
      return key.share * Math.abs(slip);
    }
    var share = key.value ? Math.min(key.tolerance / Math.abs(key.value), LARGEST_SHARE) : 0;
    return Math.max(key.tolerance || WHOLE_REACH, share * Math.abs(slip));
  }

  function meets(value, wanted, tolerance) {
    return Math.abs(value - wanted) <= tolerance + ROUNDING * Math.max(1, Math.abs(wanted));
  }

  function verdict(options, key, given) {
    if (!options.length || given === key.verdict) {
      return marking.made(true, 1, marking.word("number_right", { shown: key.shown }));
    }
    var why = (key.why || {})[given] || "";
    var reason = marking.word("verdict_wrong", { shown: key.shown, text: marking.texts(options)[key.verdict], why: why });
    return marking.made(false, 0.5, reason, { slip: "verdict." + given });
  }

  marking.ways.number = number;
})();
