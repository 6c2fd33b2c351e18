// <wy-assessment>: all questions of a lesson at once, scored here and offline; and <wy-record>, what was scored before.
(function () {
  "use strict";
  var WY = globalThis.WY;

  function percent(share) {
    return Math.round(share * 100) + " %";
  }

  function Assessment(root) {
    this.root = root;
    this.id = root.getAttribute("assessment") || root.id || pageName();
    this.title = root.getAttribute("heading") || root.getAttribute("aria-label") || WY.word("record.title");
    this.boxes = Array.prototype.slice.call(root.querySelectorAll("wy-item"));
    this.warned = false;
    this.open();
  }

  // Asks at once where the draws are on the page, else when the questions come near.
  Assessment.prototype.open = function () {
    var own = this;
    var items = this.boxes.map(function (box) {
      return { id: box.getAttribute("item") };
    });
    if (items.every(function (item) { return WY.variants(item.id); })) {
      if (items.length) {
        this.ask();
      }
    } else if (WY.whenNear) {
      WY.whenNear(this.root, function () {
        WY.fetchItems(items).then(function () {
          own.ask();
        }, function () {
          WY.add(own.root, [WY.element("p", { class: "wy-note", role: "status" }, WY.word("mixed.missing"))]);
        });
      });
    }
  };

  function pageName() {
    return (location.pathname.split("/").pop() || "page").replace(/\.html?$/, "").replace(/[^A-Za-z0-9.-]/g, "-") || "page";
  }

  Assessment.prototype.ask = function () {
    var own = this;
    this.start = this.start === undefined ? Math.floor(Math.random() * 1000) : this.start + 1;
    this.shown = this.boxes.map(function (box, at) {
      var variants = WY.variants(box.getAttribute("item"));
      box.classList.add("wy-item");
      return WY.showItem(box, variants[notPractised(box.getAttribute("item"), own.start + at, variants.length)], { actions: null });
    });
    this.score = WY.button("record.score", function () {
      own.mark();
    }, { class: "wy-button wy-button--main" });
    this.status = WY.element("div", { class: "wy-status", role: "status" });
    this.result = WY.element("div", { class: "wy-result-box" });
    if (this.foot) {
      this.foot.remove();
    }
    this.foot = WY.element(
      "div",
      { class: "wy-assessment-foot" },
      WY.element("p", { class: "wy-note" }, WY.word("record-is-practice") + " " + WY.word("record.stays_here")),
      this.status,
      WY.element("div", { class: "wy-actions" }, this.score),
      this.result,
    );
    (this.root.querySelector("details.wy-fold") || this.root).append(this.foot);
    this.warned = false;
  };

  // A draw near the wished one that no problem of this page shows, so that its numbers cannot be copied from there.
  function notPractised(id, wished, draws) {
    var shown = Array.prototype.map.call(document.querySelectorAll('.wy-practice wy-item[item="' + id + '"]'), function (item) {
      return item.at;
    });
    for (var more = 0; more < draws; more += 1) {
      if (shown.indexOf((wished + more) % draws) < 0) {
        return (wished + more) % draws;
      }
    }
    return wished % draws;
  }

  // A question without an answer is pointed out once; scored again, it counts as not answered.
  Assessment.prototype.mark = function () {
    var own = this;
    var marks = this.shown.map(function (shown) {
      return shown.mark();
    });
    var open = marks.filter(function (mark) {
      return !mark.understood;
    });
    if (open.length && !this.warned) {
      this.warned = true;
      marks.forEach(function (mark, at) {
        if (!mark.understood) {
          WY.showFeedback(own.shown[at], mark);
        }
      });
      this.score.textContent = WY.word("record.score_anyway");
      WY.sayOpen(this.status, WY.word("record.open", { count: open.length }), this.shown, marks, function (at) {
        return WY.shortened(own.shown[at].variant.question.ask);
      });
      return;
    }
    this.finish(marks);
  };

  Assessment.prototype.finish = function (marks) {
    var own = this;
    var final = marks.map(function (mark, at) {
      return mark.understood ? mark : Object.assign({}, mark, { understood: true, reason: WY.whyOpen(own.shown[at], mark) });
    });
    final.forEach(function (mark, at) {
      WY.showFeedback(own.shown[at], mark);
    });
    var assessment = this.entry(final);
    WY.record.scored(assessment);
    this.score.hidden = true;
    this.status.textContent = "";
    var again = WY.button("record.again", function () {
      own.ask();
      WY.bringQuestion(own.boxes[0], own.shown[0].control);
    });
    var heading = WY.element("p", { class: "wy-score", tabindex: "-1" }, scoreLine(assessment));
    WY.add(this.result, [
      heading,
      criticalLine(assessment),
      missedLine(assessment),
      tableOf(assessment),
      WY.element("div", { class: "wy-actions" }, saveButton(), printButton(assessment), again),
      WY.element("wy-record", {}),
    ]);
    heading.focus();
  };

  Assessment.prototype.entry = function (marks) {
    var questions = this.shown.map(function (shown) {
      return shown.variant.question;
    });
    return entry(this.id, this.title, questions, marks);
  };

  // A scored set as the record keeps it: every question with its text, so that it outlives the course it came from.
  function entry(id, title, questions, marks) {
    var sum = 0;
    marks.forEach(function (mark) {
      sum += mark.share;
    });
    return {
      id: id,
      title: title,
      on: WY.today(),
      at: new Date().toISOString(),
      share: sum / marks.length,
      items: marks.map(function (mark, at) {
        return {
          item: questions[at].item,
          seed: questions[at].seed,
          share: mark.share,
          right: mark.right,
          critical: Boolean(questions[at].critical),
          ask: questions[at].ask,
          reason: mark.reason,
        };
      }),
      marks: marks.map(function (mark, at) {
        return { item: questions[at].item, skill: questions[at].skill, right: mark.right, share: mark.share };
      }),
    };
  }

  function scoreLine(assessment) {
    var right = assessment.items.filter(function (item) {
      return item.right;
    }).length;
    var parts = { percent: percent(assessment.share), right: right, count: assessment.items.length, day: assessment.on };
    return WY.word("record.result", parts);
  }

  // The step of this page that teaches an item: the first that asks it, or else the first that asks of its skill.
  function stepOf(item) {
    var asks = Array.prototype.slice.call(document.querySelectorAll("[data-wy-items]"));
    var own = document.querySelector('wy-item[item="' + item.item + '"][data-skill]');
    var skill = own ? own.getAttribute("data-skill") : "";
    return (
      asks.filter(function (step) {
        return !step.querySelector("wy-assessment, .wy-assessment") && step.matches('[data-wy-items~="' + item.item + '"]');
      })[0] ||
      asks.filter(function (step) {
        return skill && step.querySelector('wy-item[data-skill="' + skill + '"]');
      })[0]
    );
  }

  // The steps that teach what was missed, each once, in the order of what was missed.
  function stepsOf(items) {
    return items.map(stepOf).filter(function (step, at, all) {
      return step && all.indexOf(step) === at;
    });
  }

  function missedOf(assessment, critical) {
    return assessment.items.filter(function (item) {
      return !item.right && Boolean(item.critical) === critical;
    });
  }

  function waysTo(steps) {
    var ways = steps.map(function (step) {
      var title = step.querySelector("h2");
      return WY.element("li", {}, WY.element("a", { href: "#" + step.id }, title ? title.textContent : step.id));
    });
    return ways.length ? WY.element("ul", {}, ways) : null;
  }

  function criticalLine(assessment) {
    var missed = missedOf(assessment, true);
    if (!missed.length) {
      return null;
    }
    var list = waysTo(stepsOf(missed));
    var said = WY.word("record.critical", { count: missed.length }) + (list ? " " + WY.word("record.again_here") : "");
    return WY.element("div", { class: "wy-mark wy-mark--bad" }, WY.element("p", {}, said), list);
  }

  // What else was missed, with the way to it.
  function missedLine(assessment) {
    var list = waysTo(stepsOf(missedOf(assessment, false)));
    return list ? WY.element("div", { class: "wy-mark" }, WY.element("p", {}, WY.word("record.missed_here")), list) : null;
  }

  function tableOf(assessment) {
    var rows = assessment.items.map(function (item, at) {
      return WY.element(
        "tr",
        {},
        WY.element("td", {}, String(at + 1)),
        WY.element("td", {}, item.ask, WY.element("span", { class: "wy-small wy-block" }, item.reason)),
        WY.element("td", {}, percent(item.share)),
      );
    });
    var heads = ["record.number", "record.question", "record.mark"].map(function (word) {
      return WY.element("th", { scope: "col" }, WY.word(word));
    });
    return WY.element(
      "table",
      { class: "wy-table" },
      WY.element("thead", {}, WY.element("tr", {}, heads)),
      WY.element("tbody", {}, rows),
    );
  }

  function saveButton() {
    return WY.button("record.save", WY.record.save);
  }

  function printButton(assessment) {
    return WY.button("record.print", function () {
      printSheet(assessment);
    });
  }

  // The record alone goes to paper: a sheet of its own, shown only while printing.
  function printSheet(assessment) {
    var name = WY.element("p", { class: "wy-print-line" }, WY.word("record.name") + " ______________________________");
    var sheet = WY.element(
      "section",
      { class: "wy-print-sheet" },
      WY.element("h1", {}, assessment.title),
      WY.element("p", {}, scoreLine(assessment)),
      assessment.note ? WY.element("p", {}, assessment.note) : null,
      name,
      tableOf(assessment),
      criticalLine(assessment),
      WY.element("p", {}, WY.element("b", {}, WY.word("record-is-practice"))),
      WY.element("p", {}, WY.word("cautions-plate") + " " + WY.word("cautions-law")),
    );
    document.body.append(sheet);
    document.documentElement.classList.add("wy-printing");
    function after() {
      window.removeEventListener("afterprint", after);
      document.documentElement.classList.remove("wy-printing");
      sheet.remove();
    }
    window.addEventListener("afterprint", after);
    window.print();
  }

  WY.sheets = { entry: entry, scoreLine: scoreLine, tableOf: tableOf, print: printSheet, stepOf: stepOf };

  class WyRecord extends HTMLElement {
    constructor() {
      super();
      this.changed = this.fill.bind(this);
    }

    connectedCallback() {
      var own = this;
      this.status = WY.element("p", { class: "wy-status", role: "status" });
      this.list = WY.element("div", {});
      var id = WY.newId();
      var file = WY.element("input", {
        type: "file",
        id: id,
        class: "wy-input",
        accept: ".json,application/json",
        onchange: function () {
          own.load(file);
        },
      });
      this.replaceChildren();
      WY.add(this, [
        WY.element("p", { class: "wy-legend" }, WY.word("record.earlier")),
        this.list,
        WY.element("div", { class: "wy-field" }, WY.element("label", { for: id }, WY.word("record.load")), file),
        this.status,
      ]);
      document.addEventListener("wy-record", this.changed);
      this.fill();
    }

    disconnectedCallback() {
      document.removeEventListener("wy-record", this.changed);
    }

    fill() {
      var record = WY.record.load();
      var rows = record.assessments
        .slice()
        .reverse()
        .map(function (one) {
          var line = one.title + " – " + scoreLine(one) + " ";
          return WY.element("li", {}, line, printButton(one));
        });
      var due = WY.recall.dueSkills(record, WY.today()).length;
      var none = WY.record.newer() || record.answers.length ? null : WY.element("p", {}, WY.word("record.none"));
      this.list.replaceChildren();
      WY.add(this.list, [
        rows.length ? WY.element("ul", { class: "wy-records" }, rows) : none,
        record.answers.length ? WY.element("p", {}, WY.word("record.answers", { count: record.answers.length })) : null,
        WY.element("p", {}, WY.record.dueLine(due)),
      ]);
    }

    async load(input) {
      var file = input.files[0];
      if (!file) {
        return;
      }
      var found = file.size > WY.record.LARGEST_BYTES ? { problem: "record.too_large" } : WY.record.read(await file.text());
      input.value = "";
      var problem = found.problem || (WY.record.newer() ? "record.newer_here" : "");
      if (problem) {
        this.status.textContent = WY.word(problem);
        return;
      }
      WY.record.keep(WY.record.joined(WY.record.load(), found.record));
      this.status.textContent = WY.word("record.loaded", { count: found.count, answers: found.record.answers.length });
      this.fill();
    }
  }

  // Said once on a page, where it is seen: the storage has no room, so a file is the only way to keep what is done here.
  function sayFull() {
    if (!document.getElementById("wy-record-full")) {
      var text = WY.element("p", { class: "wy-mark wy-mark--bad" }, WY.word("record.full"));
      var box = WY.element("div", { id: "wy-record-full", class: "wy-full", role: "alert" }, text, saveButton());
      document.body.append(box);
    }
  }

  class WyAssessment extends HTMLElement {
    connectedCallback() {
      if (!this.started) {
        this.started = true;
        new Assessment(this);
      }
    }
  }

  WY.whenReady(function () {
    customElements.define("wy-record", WyRecord);
    customElements.define("wy-assessment", WyAssessment);
    document.querySelectorAll("section.wy-assessment").forEach(function (root) {
      new Assessment(root);
    });
    document.addEventListener("wy-record-full", sayFull);
  });
})();
