// A mock paper: drawn by the scheme's blueprint from practice problems, timed, marked here. It proves nothing.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  var KEEP_EVERY_TICKS = 10;
  var papers = [];
  /** @type {any} */
  var running = null;

  // One paper at a time: while it runs no other can be started. It is kept with each answer and offered again; only
  // where it cannot be kept nobody leaves it unasked.
  function run(paper) {
    running = paper;
    papers.forEach(function (one) {
      if (one.starter) {
        one.starter.hidden = Boolean(running);
      }
    });
  }

  window.addEventListener("beforeunload", function (event) {
    if (running && !running.keep()) {
      event.preventDefault();
    }
  });

  function Mock(root, paper) {
    this.root = root;
    this.paper = paper;
    papers.push(this);
    this.offer();
  }

  // Minutes and cut before the start, and every cell that the practice bank cannot fill.
  Mock.prototype.offer = function () {
    var own = this;
    var drawn = WY.choosing.drawPaper(this.paper, WY.plan.items, Math.random);
    this.drawn = drawn;
    this.draft = WY.mockDraft.of(this.paper, WY.plan);
    this.root.replaceChildren();
    this.status = WY.element("p", { class: "wy-status", role: "status" });
    this.starter = WY.element("div", { class: "wy-actions" }, WY.button("mock.start", function () {
      own.begin();
    }, this.named("mock.start")));
    WY.add(this.root, [
      WY.element("h3", { id: this.paper.id }, this.heading()),
      WY.element("p", {}, this.about()),
      this.draft ? this.inProgress() : this.shortage(),
      drawn.items.length ? this.starter : null,
      this.status,
    ]);
    run(running);
  };

  // Attributes of a main button: it is named with its paper, so that a reader who hears the buttons tells them apart.
  Mock.prototype.named = function (word) {
    return { class: "wy-button wy-button--main", "aria-label": WY.word("mock.of", { act: WY.word(word), paper: this.heading() }) };
  };

  // A paper that was closed before it was handed in: how much of its time is left, and the way back into it.
  Mock.prototype.inProgress = function () {
    var own = this;
    var left = Math.max(0, Math.ceil(this.paper.minutes - this.draft.seconds / 60));
    var goOn = WY.button("mock.go_on", function () {
      own.drawn = own.draft;
      own.begin();
    }, this.named("mock.go_on"));
    return WY.element(
      "div",
      { class: "wy-note wy-mock__kept" },
      WY.element("p", {}, WY.word("mock.in_progress", { minutes: left })),
      WY.element("div", { class: "wy-actions" }, goOn),
    );
  };

  // False where the storage has no room.
  Mock.prototype.keep = function () {
    return !this.shown || WY.mockDraft.keep(this.paper, this.drawn, this.shown, this.seconds());
  };

  // Seconds that the paper was open, before it was closed and since.
  Mock.prototype.seconds = function () {
    return this.before + (performance.now() - this.from) / 1000;
  };

  Mock.prototype.heading = function () {
    return WY.word("mock.title", { level: this.paper.level, part: this.paper.title });
  };

  Mock.prototype.about = function () {
    var paper = this.paper;
    var facts = { count: this.drawn.items.length, minutes: paper.minutes, cut: paper.cut, critical: this.drawn.critical };
    return WY.word(facts.critical ? "mock.about_critical" : "mock.about", facts);
  };

  Mock.prototype.shortage = function () {
    var paper = this.paper;
    var lines = this.drawn.short.map(function (one) {
      return WY.word("mock.short", {
        duty: WY.plan.duties[one.cell.duty] || one.cell.duty,
        demand: WY.word("mock." + one.cell.demand),
        want: one.cell.count,
        have: one.have,
      });
    });
    if (this.drawn.critical < paper.critical) {
      lines.push(WY.word("mock.short_critical", { want: paper.critical, have: this.drawn.critical }));
    }
    return lines.length
      ? WY.element("div", { class: "wy-note" }, WY.element("p", {}, WY.word("mock.shorter")), WY.element("ul", {}, lines.map(function (line) {
          return WY.element("li", {}, line);
        })))
      : null;
  };

  Mock.prototype.begin = async function () {
    this.status.textContent = WY.word("mock.loading");
    run(this);
    try {
      await WY.fetchItems(this.drawn.items);
    } catch (problem) {
      run(null);
      this.status.textContent = WY.word("mixed.missing");
      return;
    }
    this.ask();
  };

  Mock.prototype.ask = function () {
    var own = this;
    this.root.replaceChildren();
    this.time = WY.element("p", { class: "wy-mock__time", role: "timer" });
    this.status = WY.element("div", { class: "wy-status", role: "status" });
    this.result = WY.element("div", { class: "wy-result-box" });
    this.hand = WY.button("mock.hand_in", function () {
      own.handIn(false);
    }, { class: "wy-button wy-button--main" });
    var heading = WY.element("h3", { tabindex: "-1" }, this.heading());
    var list = WY.element("div", { class: "wy-mock__list" });
    var draft = this.drawn === this.draft ? this.draft : null;
    this.before = draft ? draft.seconds : 0;
    this.from = performance.now();
    this.shown = this.drawn.items.map(function (item, at) {
      var variants = WY.variants(item.id);
      var kept = draft && WY.mockDraft.variantOf(draft, at);
      var box = WY.element("div", { class: "wy-item" });
      var place = WY.element("h4", { id: own.placeOf(at) }, own.nameOf(at));
      WY.add(list, [place, box]);
      var variant = kept || variants[Math.floor(Math.random() * variants.length)];
      var shown = WY.showItem(box, variant, { actions: null });
      if (kept) {
        shown.control.restore(draft.responses[at]);
      }
      box.addEventListener("change", function () {
        sayUnread(shown);
        own.keep();
      });
      shown.place = place;
      return shown;
    });
    var actions = WY.element("div", { class: "wy-actions" }, this.hand);
    WY.add(this.root, [heading, this.time, list, this.status, actions, this.result]);
    heading.focus({ preventScroll: true });
    WY.bringTop(heading);
    this.warned = false;
    this.keep();
    this.ticking = setInterval(function () {
      own.tick();
    }, 1000);
    this.tick();
  };

  Mock.prototype.placeOf = function (at) {
    return this.paper.id + "-" + (at + 1);
  };

  Mock.prototype.nameOf = function (at) {
    return WY.word("paper.question", { number: at + 1, count: this.drawn.items.length });
  };

  // A typed answer that cannot be read is said at once: help with writing, never with the answer.
  function sayUnread(shown) {
    var mark = WY.isTyped(shown) ? shown.mark() : null;
    if (mark && !mark.understood) {
      WY.showFeedback(shown, mark);
    } else {
      shown.feedback.replaceChildren();
    }
  }

  // Counted by the clock that nobody can set back.
  Mock.prototype.left = function () {
    return this.paper.minutes - this.seconds() / 60;
  };

  Mock.prototype.tick = function () {
    var left = this.left();
    this.time.textContent = WY.word("paper.left", { minutes: Math.max(0, Math.ceil(left)) });
    this.ticks = (this.ticks || 0) + 1;
    if (this.ticks % KEEP_EVERY_TICKS === 0) {
      this.keep();
    }
    if (left <= 0) {
      this.handIn(true);
    }
  };

  Mock.prototype.handIn = function (timeUp) {
    var own = this;
    var marks = this.shown.map(function (shown) {
      return shown.mark();
    });
    var open = marks.filter(function (mark) {
      return !mark.understood;
    }).length;
    if (open && !timeUp && !this.warned) {
      this.warned = true;
      WY.sayOpen(this.status, WY.word("mock.open", { count: open }), this.shown, marks, this.nameOf.bind(this));
      this.hand.textContent = WY.word("mock.hand_in_anyway");
      return;
    }
    clearInterval(this.ticking);
    run(null);
    WY.mockDraft.drop();
    this.hand.remove();
    this.status.textContent = "";
    this.time.textContent = timeUp ? WY.word("paper.time_up") : "";
    this.finish(
      marks.map(function (mark, at) {
        return mark.understood ? mark : Object.assign({}, mark, { understood: true, reason: WY.whyOpen(own.shown[at], mark) });
      }),
    );
  };

  Mock.prototype.finish = function (marks) {
    var own = this;
    this.shown.forEach(function (shown, at) {
      WY.showFeedback(shown, marks[at]);
    });
    var entry = this.entry(marks);
    WY.record.scored(entry);
    var heading = WY.element("p", { class: "wy-score", tabindex: "-1" }, WY.sheets.scoreLine(entry));
    WY.add(this.result, [
      heading,
      WY.element("div", { class: "wy-mark wy-mark--" + (this.outcome.passed ? "good" : "bad") }, this.verdict.map(paragraph)),
      WY.element("p", { class: "wy-note" }, WY.word("mock.proves")),
      WY.sheets.tableOf(entry),
      WY.element(
        "div",
        { class: "wy-actions" },
        WY.button("record.save", WY.record.save),
        WY.button("record.print", function () {
          WY.sheets.print(entry);
        }),
        WY.button("mock.again", function () {
          own.offer();
          own.root.querySelector("button").focus();
        }),
      ),
      WY.element("wy-record", {}),
    ]);
    heading.focus();
  };

  // What goes into the learner's record, in the shape of every scored set, with the outcome in words as its note.
  Mock.prototype.entry = function (marks) {
    var questions = this.shown.map(function (shown) {
      return shown.variant.question;
    });
    var entry = WY.sheets.entry(this.paper.id, this.heading(), questions, marks);
    this.outcome = WY.choosing.outcome(this.paper, entry.items);
    this.verdict = this.judged();
    entry.note = this.verdict.join(" ");
    return entry;
  };

  function paragraph(text) {
    return WY.element("p", {}, text);
  }

  // What the paper came to, a sentence each.
  Mock.prototype.judged = function () {
    var found = this.outcome;
    var parts = {
      part: this.paper.title,
      percent: Math.floor(found.percent * 10) / 10,
      cut: this.paper.cut,
      right: found.criticalRight,
      count: found.critical,
      others: this.paper.others.join("; "),
    };
    var whole = !this.drawn.short.length;
    return [
      WY.word(found.reached ? "mock.reached" : "mock.not_reached", parts),
      found.critical ? WY.word("mock.critical", parts) : "",
      WY.word(!whole ? "mock.not_whole" : found.passed ? "mock.passed" : "mock.failed"),
      parts.others ? WY.word("mock.others", parts) : "",
    ].filter(Boolean);
  };

  WY.whenReady(function () {
    document.querySelectorAll("[data-wy-mock]").forEach(function (/** @type {any} */ root) {
      var papers = WY.plan.papers.filter(function (paper) {
        return String(paper.level) === root.dataset.wyMock;
      });
      papers.forEach(function (paper) {
        var box = WY.element("section", { class: "wy-mock__paper" });
        root.append(box);
        new Mock(box, paper);
      });
      if (!papers.length) {
        root.textContent = WY.word("mock.none");
      }
    });
  });
})();
