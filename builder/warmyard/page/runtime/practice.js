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

    // In a set the first problem stands open; each of the others opens when the one before it is answered, or at
    // its own button. Closed, it keeps its printed form, so that a lesson on paper still asks everything.
    waits() {
      var before = this.previousElementSibling;
      return this.closest(".wy-practice") !== null && before !== null && before.tagName === "WY-ITEM";
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
      var item = this;
      this.check = WY.button("practice.check", null, { type: "submit", class: "wy-button wy-button--main" });
      this.reveal = WY.button("practice.show_answer", function () {
        item.giveUp();
      });
      var kind = WY.kinds[this.variants[0].question.kind];
      this.another = WY.button(kind.redraws ? "practice.another" : "practice.again", function () {
        item.at = (item.at + 1) % item.variants.length;
        item.show(true);
      }, { class: "wy-button wy-button--main" });
      this.another.hidden = true;
      this.shown = WY.showItem(this, this.variants[this.at], {
        actions: WY.element("div", { class: "wy-actions" }, this.check, this.reveal, this.another),
        submit: function () {
          item.submit();
        },
        stopped: function () {
          item.submit();
        },
      });
      if (takeFocus) {
        WY.bringQuestion(this, this.shown.control);
      }
    }

    submit() {
      if (this.check.hidden) {
        return;
      }
      var mark = this.shown.mark();
      WY.showFeedback(this.shown, mark);
      if (mark.understood) {
        this.finish(mark.right);
      } else {
        this.shown.control.focus();
        WY.bringNear(this.shown.feedback.firstElementChild);
      }
    }

    // Shown without an answer: it counts as missed, so the skill comes back.
    giveUp() {
      var reason = WY.word("practice.shown", { answer: WY.answerText(this.shown.variant) });
      WY.showFeedback(this.shown, { right: false, share: 0, reason: reason, understood: true, shown: true });
      this.finish(false);
    }

    finish(right) {
      this.check.hidden = true;
      this.reveal.hidden = true;
      this.another.hidden = false;
      // A Check button that goes away must not take the keyboard's place with it.
      this.another.focus({ preventScroll: true });
      WY.bringNear(this.shown.feedback.firstElementChild);
      if (WY.record) {
        WY.record.answered(this.shown.variant.question, right);
      }
      document.dispatchEvent(new CustomEvent("wy-answered", { detail: right }));
      /** @type {any} */
      var after = this.nextElementSibling;
      if (after && after.begin) {
        after.begin(false);
      }
    }
  }

  WY.whenReady(function () {
    customElements.define("wy-item", WyItem);
  });
})();
