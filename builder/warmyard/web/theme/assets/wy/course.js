/* The course page: what comes back today, and how long the rest takes, from the record on this device.
   Where each lesson stands is written beside it by assessment.js. */
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  function all(box, selector) { return Array.prototype.slice.call(box.querySelectorAll(selector)); }

  function showDue(box, rows, record) {
    var seen = {};
    box.textContent = "";
    rows.forEach(function (row) {
      all(row, "[data-wy-skill]").forEach(function (skill) {
        var id = skill.getAttribute("data-wy-skill");
        if (seen[id] || !WY.recall.isDue(record, id, WY.today())) { return; }
        seen[id] = true;
        var link = WY.element("a", { href: row.querySelector("a").getAttribute("href") }, skill.textContent);
        box.append(WY.element("li", {}, WY.word("course.due") + " ", link));
      });
    });
    box.hidden = box.children.length === 0;
  }

  function show(course) {
    var record = WY.record.load();
    var rows = all(course, "[data-wy-lesson]");
    var open = rows.filter(function (row) {
      return !record.assessments.some(function (one) { return one.id === row.getAttribute("data-wy-lesson"); });
    });
    var minutes = open.reduce(function (sum, row) { return sum + Number(row.getAttribute("data-wy-minutes")); }, 0);
    var time = minutes < 120 ? WY.word("course.minutes", { count: minutes }) : WY.word("course.hours", { count: Math.round(minutes / 60) });
    var parts = { done: rows.length - open.length, count: rows.length, time: time };
    course.querySelector("[data-wy-sum]").textContent = WY.word("course.sum", parts);
    showDue(course.querySelector("[data-wy-due]"), rows, record);
  }

  WY.whenReady(function () {
    var course = document.querySelector("[data-wy-course]");
    if (!course) { return; }
    show(course);
    document.addEventListener("wy-record", function () { show(course); });
  });
})();
