// The menu says how far each lesson is and how much comes back today. Who has no record yet loads nothing for it.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var PRACTICE = "practice";
  var turns = 0;

  // The way to a page in the menu; null where the menu does not name it.
  function linkTo(page) {
    return document.querySelector('.wy-nav a[data-wy-page="' + page + '"]');
  }

  function put(link, sign, shown, said) {
    link.querySelectorAll(".wy-nav__count").forEach(function (old) {
      old.remove();
    });
    if (shown) {
      var words = WY.element("span", { class: "wy-unseen" }, said);
      WY.add(link, [WY.element("span", { class: "wy-nav__count" }, sign, WY.element("span", { "aria-hidden": "true" }, shown), words)]);
    }
  }

  function ofLesson(link, lesson, record, today) {
    var found = WY.todayList.ofLesson(WY.plan, record, lesson, today);
    var parts = { done: found.done, count: found.steps.length };
    var state = found.again ? "again" : found.kept === parts.count ? "kept" : found.done === parts.count ? "can" : found.done + found.seen ? "seen" : "";
    var said = WY.word("today.menu", parts) + (found.again ? " " + WY.word("today.state_again") : "");
    put(link, WY.sign(state), state ? parts.done + "/" + parts.count : "", said);
  }

  // A lesson at a time, so that a press meanwhile is answered; what is told anew ends what was being told.
  async function show() {
    var turn = (turns += 1);
    var record = WY.record.load();
    var today = WY.today();
    var due = WY.recall.due(WY.plan, record, today, WY.todayList.levelOf(WY.plan, record)).length;
    for (var at = 0; at < WY.plan.lessons.length && turn === turns; at += 1) {
      var link = linkTo(WY.plan.lessons[at].id);
      if (link) {
        ofLesson(link, WY.plan.lessons[at], record, today);
        await new Promise(function (/** @type {any} */ go) { setTimeout(go, 0); });
      }
    }
    var practice = linkTo(PRACTICE);
    if (practice) {
      put(practice, null, due ? String(due) : "", WY.word("today.menu_due", { count: due }));
    }
  }

  async function start() {
    if (!document.querySelector(".wy-nav") || WY.todayList.isBlank(WY.record.load())) {
      return;
    }
    try {
      await WY.fetchPlan();
    } catch (problem) {
      return;
    }
    show();
  }

  WY.whenReady(function () {
    start();
    document.addEventListener("wy-record", WY.afterPaint(start));
  });
})();
