// <wy-item item="ID">: a problem that is answered, checked, tried again, and drawn anew.
(function () {
  "use strict";
  var WY = globalThis.WY;

  class WyItem extends HTMLElement {
    constructor() {
      super();
      this.at = 0;
      /** @type {any} its control, feedback and buttons, while it is shown */
      this.shown = null;
      /** @type {any} */
      this.check = null;
      /** @type {any} */
      this.reveal = null;
      /** @type {any} */
      this.another = null;
      /** @type {any[]} */
      this.variants = [];
      /** @type {any[]} hints that were not given yet */
      this.rungs = [];
      /** @type {any} */
      this.hint = null;
      /** @type {any} where hints appear */
      this.helped = null;
      this.formulaSeen = 0;
      this.tries = 0;
      this.hints = 0;
      // The instant of a wrong first try in the record.
      this.firstAt = 0;
      this.firstAt = 0;
      this.last = "";
      this.began = 0;
    }

    connectedCallback() {
      if (this.started || this.closest(".wy-assessment, wy-assessment")) {
        return;
      }
      var item = this;
      this.started = true;
      this.classList.add("wy-item");
      if (this.waits()) {
        this.wait();
      } else if (this.found()) {
        this.show(false);
      } else if (WY.whenNear) {
        WY.whenNear(this, function () {
          item.fetch(false);
        });
      }
    }

    // Whether the draws of the problem are on the page.
    found() {
      this.variants = WY.variants(this.getAttribute("item")) || [];
      return this.variants.length > 0;
    }

    // Shows the problem when its draws have come; until then, and where they do not come, its printed form stands.
    async fetch(takeFocus) {
      try {
        await WY.fetchItems([{ id: this.getAttribute("item") }]);
      } catch (problem) {
        WY.add(this, [WY.element("p", { class: "wy-note", role: "status" }, WY.word("mixed.missing"))]);
        return;
      }
      if (this.found() && !this.shown) {
        this.show(takeFocus);
      }
    }

    // In a step of a lesson the first problem stands open, elsewhere the first of each set; each of the others opens
    // when the one before it is answered, or at its own button. Closed, it keeps its printed form, so that a lesson on
    // paper still asks everything.
    waits() {
      return this.closest(".wy-practice") !== null && this.inLine(-1) !== null;
    }

    // The problem before (-1) or after (1) this one in its step, or in its set where there is no step.
    /** @returns {any} */
    inLine(way) {
      var line = this.closest(".wy-step") || this.closest(".wy-practice");
      var all = Array.prototype.filter.call(line ? line.querySelectorAll("wy-item") : [], function (one) {
        return one.closest(".wy-practice") !== null;
      });
      return all[all.indexOf(this) + way] || null;
    }

    wait() {
      var item = this;
      /** @type {any} */
      var ask = this.querySelector(".wy-ask");
      ask.id = WY.newId();
      this.waiting = true;
      this.classList.add("wy-item--waiting");
      var begin = WY.button("practice.begin", function () {
        item.begin(true);
      }, { class: "wy-button wy-begin" });
      begin.setAttribute("aria-describedby", ask.id);
      this.append(begin);
    }

    begin(takeFocus) {
      if (this.waiting) {
        this.waiting = false;
        this.classList.remove("wy-item--waiting");
        if (this.found()) {
          this.show(takeFocus);
        } else {
          this.fetch(takeFocus);
        }
      }
    }

    show(takeFocus) {
      this.tries = 0;
      this.hints = 0;
      this.last = "";
      this.began = performance.now();
      this.shown = WY.showItem(this, this.variants[this.at], {
        actions: this.buttons(),
        submit: this.submit.bind(this),
        stopped: this.submit.bind(this),
      });
      this.rungs = WY.rungsOf(this.shown);
      this.helped = WY.element("div", { class: "wy-hints", role: "status" });
      this.shown.feedback.before(this.helped);
      WY.add(this, [WY.atHand(this.shown, this.sawFormula.bind(this))]);
      this.nameHint();
      if (takeFocus) {
        WY.bringQuestion(this, this.shown.control);
      }
    }

    buttons() {
      var item = this;
      this.check = WY.button("practice.check", null, { type: "submit", class: "wy-button wy-button--main" });
      this.hint = WY.button("practice.hint", this.help.bind(this));
      this.reveal = WY.button("practice.show_answer", this.giveUp.bind(this));
      var kind = WY.kinds[this.variants[0].question.kind];
      this.another = WY.button(kind.redraws ? "practice.another" : "practice.again", function () {
        item.at = (item.at + 1) % item.variants.length;
        item.show(true);
      }, { class: "wy-button wy-button--main" });
      this.another.hidden = true;
      return WY.element("div", { class: "wy-actions" }, this.check, this.hint, this.reveal, this.another);
    }

    // The next rung of the ladder; each is noted, and so is the whole answer.
    help() {
      var given = this.rungs.shift();
      this.hints += 1;
      var hint = WY.element("div", { class: "wy-hint" }, given());
      this.helped.append(hint);
      this.nameHint();
      WY.bringNear(hint);
    }

    nameHint() {
      var count = this.hints + this.rungs.length;
      this.hint.hidden = !this.rungs.length;
      this.hint.textContent = WY.word("practice.hint", { number: this.hints + 1, count: count });
    }

    sawFormula() {
      this.formulaSeen = this.formulaSeen || this.at + 1;
    }

    submit() {
      if (this.check.hidden) {
        return;
      }
      var mark = this.shown.mark();
      if (!mark.understood) {
        WY.showFeedback(this.shown, mark);
        if (this.shown.control.unread) {
          this.shown.control.unread(this.shown.feedback);
        }
        this.shown.control.focus();
        WY.bringNear(this.shown.feedback.firstElementChild);
        return;
      }
      // The same answer once more is no second try.
      var given = JSON.stringify(this.shown.control.response());
      this.tries += given === this.last ? 0 : 1;
      this.last = given;
      var said = this.tries < 2 ? WY.retrySaid(this.shown, mark) : "";
      if (said) {
        this.tryAgain(said, mark);
      } else {
        WY.showFeedback(this.shown, mark);
        this.finish(mark);
      }
    }

    // Wrong for the first time: it is kept, with what is wrong in words, and another try. The key waits.
    tryAgain(said, mark) {
      if (WY.record && !this.firstAt) {
        this.firstAt = WY.record.tried(this.facts(mark));
      }
      this.last = JSON.stringify(this.shown.control.response());
      WY.showFeedback(this.shown, { right: false, share: 0, reason: said, understood: false, again: true });
      this.shown.control.focus();
      if (this.shown.control.refused) {
        this.shown.control.refused();
      }
      WY.bringNear(this.shown.feedback.firstElementChild);
    }

    // Shown without an answer: it counts as missed, so the skill comes back.
    giveUp() {
      var reason = WY.word("practice.shown", { answer: WY.answerText(this.shown.variant) });
      var mark = { right: false, share: 0, reason: reason, understood: true, shown: true };
      WY.showFeedback(this.shown, mark);
      this.finish(mark);
    }

    finish(mark) {
      this.check.hidden = true;
      this.hint.hidden = true;
      this.reveal.hidden = true;
      this.another.hidden = false;
      this.another.classList.toggle("wy-button--main", !mark.right);
      // A Check button that goes away must not take the keyboard's place with it.
      this.another.focus({ preventScroll: true });
      WY.bringNear(this.shown.feedback.firstElementChild);
      this.note(mark);
      this.offerWayOn();
      document.dispatchEvent(new CustomEvent("wy-answered", { detail: mark.right }));
      var after = this.inLine(1);
      if (after && after.begin) {
        after.begin(false);
      }
    }

    // When the last open problem of a step is answered, the way on stands beside it too.
    offerWayOn() {
      var step = this.closest("section[data-wy-step]");
      /** @type {any} */
      var done = step && step.querySelector("[data-wy-done]");
      /** @type {any[]} */
      var items = step ? Array.from(step.querySelectorAll("wy-item")) : [];
      var left = items.some(function (one) {
        return !one.check || !one.check.hidden;
      });
      if (done && !left) {
        var on = WY.element("a", { class: "wy-way-on", href: done.getAttribute("href") }, done.wyDone || done.textContent);
        on.addEventListener("click", function (event) {
          event.preventDefault();
          done.click();
        });
        this.another.before(on);
      }
    }

    note(mark) {
      if (WY.record) {
        WY.record.answered(Object.assign(this.facts(mark), { since: this.firstAt }));
      }
    }

    // Everything that the record keeps of an answer.
    facts(mark) {
      var question = this.shown.variant.question;
      var step = this.closest("section[data-wy-step]");
      var page = this.closest("[data-wy-steps]");
      return {
        item: question.item,
        skill: question.skill,
        step: step && page ? page.getAttribute("data-wy-steps") + "#" + step.getAttribute("data-wy-step") : "",
        right: mark.right,
        share: mark.share,
        seconds: Math.round((performance.now() - this.began) / 1000),
        tries: this.tries,
        hints: this.hints + (this.formulaSeen === this.at + 1 ? 1 : 0),
        shown: Boolean(mark.shown),
      };
    }
  }

  WY.whenReady(function () {
    customElements.define("wy-item", WyItem);
  });
})();
