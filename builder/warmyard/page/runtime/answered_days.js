// The record page: what was answered, by day, the newest first; a day is folded until the reader opens it.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var MOST_DAYS = 30;

  // The days of a record, newest first, each with its answers, newest first: {day, right, answers}.
  function daysOf(record) {
    var days = new Map();
    record.answers.forEach(function (answer) {
      var known = days.get(answer.day);
      if (!known) {
        known = { day: answer.day, right: 0, answers: [] };
        days.set(answer.day, known);
      }
      known.right += answer.right ? 1 : 0;
      known.answers.push(answer);
    });
    var found = Array.from(days.values());
    found.forEach(function (one) {
      one.answers.sort(function (first, second) {
        return second.at - first.at;
      });
    });
    return found.sort(function (one, other) {
      return one.day < other.day ? 1 : -1;
    });
  }

  function line(answer) {
    var facts = [WY.word("record.tries", { count: answer.tries }), WY.word("record.hints", { count: answer.hints })];
    if (answer.seconds) {
      facts.push(WY.word("record.seconds", { count: answer.seconds }));
    }
    if (answer.shown) {
      facts.push(WY.word("record.shown"));
    }
    return WY.element(
      "li",
      {},
      WY.element("b", {}, WY.plan.skills[answer.skill] || answer.skill),
      WY.element("span", { class: "wy-block" }, WY.word(answer.right ? "record.right" : "record.not_right") + " " + facts.join(" ")),
    );
  }

  function dayBox(one) {
    var list = WY.element("ul", { class: "wy-records" });
    var box = WY.element(
      "details",
      { class: "wy-folded" },
      WY.element("summary", {}, WY.word("record.day", { day: one.day, right: one.right, count: one.answers.length })),
      list,
    );
    box.addEventListener("toggle", function () {
      if (box.open && !list.childElementCount) {
        WY.add(list, one.answers.map(line));
      }
    });
    return box;
  }

  function show(root) {
    var days = daysOf(WY.record.load());
    var left = days.length - MOST_DAYS;
    root.replaceChildren();
    WY.add(root, [
      days.slice(0, MOST_DAYS).map(dayBox),
      days.length ? null : WY.element("p", {}, WY.word("record.nothing_answered")),
      left > 0 ? WY.element("p", { class: "wy-fine" }, WY.word("record.earlier_days", { count: left })) : null,
    ]);
  }

  WY.answeredDays = { of: daysOf };
  WY.whenReady(function () {
    document.querySelectorAll("[data-wy-days]").forEach(function (root) {
      show(root);
      document.addEventListener("wy-record", function () {
        show(root);
      });
    });
  });
})();
