// The page "Am I ready?": fills in, from the record on this device, how far the reader is for each paper of a level.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var MOST_NEXT = 3;

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

  // A part of the page that is folded until the reader wants it; its heading is on paper too.
  function folded(name, title, inside) {
    return WY.element("details", { class: "wy-folded " + name }, WY.element("summary", {}, WY.element("h2", {}, title)), inside);
  }

  function paperBox(found) {
    return folded("wy-far__paper", found.paper.title, WY.element("ul", { class: "wy-far__cells" }, found.cells.map(cellLine)));
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

  function isOpen(one) {
    return one.state !== "right";
  }

  function criticalBox(found) {
    if (!found.length) {
      return null;
    }
    var right = found.length - found.filter(isOpen).length;
    return folded("wy-far__critical", WY.word("ready.critical"), [
      WY.element("p", {}, WY.word("ready.critical_count", { right: right, count: found.length })),
      WY.element("ul", { class: "wy-far__cells" }, found.map(criticalLine)),
    ]);
  }

  // How things stand: what was seen of the papers, what is critical and open, and what each paper would come to.
  function topLines(found, critical) {
    var cells = found.flatMap(function (paper) {
      return paper.cells;
    });
    var seen = cells.filter(function (one) {
      return one.tried > 0;
    }).length;
    var lines = [WY.word("ready.top_seen", { seen: seen, count: cells.length })];
    if (critical.length) {
      lines.push(WY.word("ready.top_critical", { open: critical.filter(isOpen).length, count: critical.length }));
    }
    found.forEach(function (paper) {
      lines.push((found.length > 1 ? paper.paper.title + ": " : "") + forecastLine(paper));
    });
    return WY.element("ul", { class: "wy-far__top" }, lines.map(function (line) {
      return WY.element("li", { class: "wy-far__forecast" }, line);
    }));
  }

  // What to do next: what is critical before all else, then the sorts that stand weakest.
  function nextBox(found, critical) {
    var lines = WY.readiness.next(found, critical, MOST_NEXT).map(function (one) {
      return one.skill ? criticalLine(one) : cellLine(one);
    });
    return lines.length
      ? WY.element("section", { class: "wy-far__next" }, WY.element("h2", {}, WY.word("ready.next")), WY.element("ul", { class: "wy-far__cells" }, lines))
      : null;
  }

  function show(root, level) {
    var record = WY.record.load();
    var critical = WY.readiness.critical(WY.plan, record, level);
    var found = WY.plan.papers
      .filter(function (paper) {
        return paper.level === level;
      })
      .map(function (paper) {
        return WY.readiness.ofPaper(WY.plan, record, paper);
      });
    root.replaceChildren();
    WY.add(root, [
      record.answers.length ? null : WY.element("p", { class: "wy-note" }, WY.word("ready.empty")),
      topLines(found, critical),
      nextBox(found, critical),
      criticalBox(critical),
      found.map(paperBox),
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
