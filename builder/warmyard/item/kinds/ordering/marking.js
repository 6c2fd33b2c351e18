// The mark of an order, as marking.py gives it.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var marking = WY.marking;

  function order(question, key, response) {
    var given = marking.namedIds(response.order);
    var text = marking.texts(question.options);
    var wanted = Object.keys(text);
    var whole =
      given &&
      given.length === wanted.length &&
      given.every(function (id) {
        return id in text;
      });
    if (!whole) {
      return marking.notUnderstood(marking.word("order_short"));
    }
    var failed = key.fails.filter(function (pair) {
      return given.indexOf(pair[0]) < given.indexOf(pair[1]);
    });
    if (failed.length) {
      var name = failed[0][1] + "<" + failed[0][0];
      var fail = { first: text[failed[0][1]], then: text[failed[0][0]], why: key.reasons[name] || "" };
      return marking.made(false, 0, marking.word("order_fails", fail), { slip: name, critical_fail: true });
    }
    var broken = key.before.filter(function (pair) {
      return given.indexOf(pair[0]) > given.indexOf(pair[1]);
    });
    if (!broken.length) {
      return marking.made(true, 1, marking.word("order_right"));
    }
    var pair = broken[0][0] + "<" + broken[0][1];
    var parts = { first: text[broken[0][0]], then: text[broken[0][1]], why: key.reasons[pair] || "" };
    var reason = marking.word("order_wrong", parts);
    if (broken.length > 1) {
      reason += " " + marking.word("order_more", { count: broken.length - 1 });
    }
    return marking.made(false, 1 - broken.length / key.before.length, reason, { slip: pair });
  }

  marking.ways.order = order;
})();
