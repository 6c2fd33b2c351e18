// The page "Am I ready?": fills in, from the record on this device, how far the reader is for each paper of a level.
(function () {
  "use strict";
  var WY = globalThis.WY;

  function percent(share) {
    return Math.round(share * 100);
  }

  function practise(place, what) {
    var label = WY.word("ready.practise_what", { what: what });
    return WY.element("a", { class: "wy-far__do", href: "practice.html#" + place, "aria-label": label }, WY.word("ready.practise"));
  }

  function cellLine(one) {
    var name = WY.word("ready.cell", { duty: WY.plan.duties[one.cell.duty] || one.cell.duty, demand: WY.word("mock." + one.cell.demand) });
    var place = "only-" + one.cell.duty + "-" + one.cell.demand;
    return WY.element(
      "li",
      { class: "wy-far__cell" },
      WY.element("b", {}, name),
      WY.element("span", { class: "wy-block" }, triedLine(one)),
      one.items ? practise(place, name) : null,
    );
  }

  function triedLine(one) {
    var parts = { tried: one.tried, items: one.items, asks: one.cell.count, right: one.right };
    if (!one.items) {
      return WY.word("ready.no_items", parts);
    }
    if (!one.tried) {
      return WY.word("ready.untried", parts);
    }
    var range = { percent: percent(one.right / one.tried), low: percent(one.range.low), high: percent(one.range.high) };
    return WY.word("ready.tried", Object.assign(parts, range));
  }

  function forecastLine(found) {
    if (!found.forecast) {
      return WY.word("ready.too_little", { tried: found.tried, fewest: WY.readiness.FEWEST });
    }
    var parts = {
      percent: percent(found.forecast.share),
      low: percent(found.forecast.low),
      high: percent(found.forecast.high),
      cut: found.paper.cut,
    };
    var verdict = WY.readiness.verdict(found.forecast, found.paper.cut);
    return WY.word("ready.forecast", parts) + " " + WY.word("ready." + verdict, parts);
  }

  function paperBox(record, paper) {
    var found = WY.readiness.ofPaper(WY.plan, record, paper);
    return WY.element(
      "section",
      { class: "wy-far__paper" },
      WY.element("h2", {}, paper.title),
      WY.element("p", { class: "wy-far__forecast" }, forecastLine(found)),
      WY.element("ul", { class: "wy-far__cells" }, found.cells.map(cellLine)),
    );
  }

  function criticalLine(one) {
    var title = WY.plan.skills[one.skill];
    return WY.element(
      "li",
      { class: "wy-far__cell" },
      WY.element("b", {}, title),
      WY.element("span", { class: "wy-block" }, WY.word("ready.critical_" + one.state)),
      one.state === "right" ? null : practise("skill-" + one.skill, title),
    );
  }

  function criticalBox(record, level) {
    var found = WY.readiness.critical(WY.plan, record, level);
    var right = found.filter(function (one) {
      return one.state === "right";
    });
    if (!found.length) {
      return null;
    }
    return WY.element(
      "section",
      {},
      WY.element("h2", {}, WY.word("ready.critical")),
      WY.element("p", {}, WY.word("ready.critical_count", { right: right.length, count: found.length })),
      WY.element("ul", { class: "wy-far__cells" }, found.map(criticalLine)),
    );
  }

  function show(root, level) {
    var record = WY.record.load();
    var papers = WY.plan.papers.filter(function (paper) {
      return paper.level === level;
    });
    root.replaceChildren();
    WY.add(root, [
      record.answers.length ? null : WY.element("p", { class: "wy-note" }, WY.word("ready.empty")),
      criticalBox(record, level),
      papers.map(function (paper) {
        return paperBox(record, paper);
      }),
    ]);
  }

  WY.whenReady(function () {
    document.querySelectorAll("[data-wy-far]").forEach(function (root) {
      var level = Number(root.getAttribute("data-wy-far"));
      show(root, level);
      document.addEventListener("wy-record", function () {
        show(root, level);
      });
    });
  });
})();
