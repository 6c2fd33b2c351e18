// <wy-item item="ID">: a question with its answer control, Check, what went wrong in words, worked steps, new numbers.
(function () {
  "use strict";
  var WY = globalThis.WY;

  // Shows one variant in a box and hands back what a set of questions needs of it.
  WY.showItem = function (box, variant, options) {
    var question = variant.question;
    var control = WY.kinds[question.kind].control(question, {
      key: variant.key,
      stopped: options.stopped,
    });
    var feedback = WY.element("div", { class: "wy-feedback", role: "status" });
    var askId = WY.newId();
    box.replaceChildren();
    box.setAttribute("data-kind", question.kind);
    // A group, not a named form: the same question twice on a page would give two landmarks of one name.
    box.setAttribute("role", "group");
    box.setAttribute("aria-labelledby", askId);
    WY.add(box, [
      WY.element("p", { class: "wy-ask", id: askId }, lines(question.ask)),
      WY.element(
        "form",
        {
          class: "wy-answer",
          autocomplete: "off",
          novalidate: true,
          onsubmit: function (event) {
            event.preventDefault();
            if (options.submit) {
              options.submit();
            }
          },
        },
        control.element,
        options.actions,
      ),
      feedback,
    ]);
    return {
      variant: variant,
      control: control,
      feedback: feedback,
      mark: function () {
        return WY.marking.mark(variant, control.response());
      },
    };
  };

  function lines(text) {
    return text.split("\n").map(function (line, at) {
      return [at ? WY.element("br", {}) : null, line];
    });
  }

  // Says what a mark means: a reason in words, then the worked steps and the trade's sentence.
  WY.showFeedback = function (shown, mark) {
    var kind = !mark.understood ? "help" : mark.right ? "good" : mark.share > 0 ? "part" : "bad";
    var title = WY.word("practice.is_" + (mark.critical_fail ? "critical" : mark.shown ? "shown" : kind));
    var said = saidOnce(title, mark.reason);
    var parts = [WY.element("p", { class: "wy-mark wy-mark--" + kind }, WY.element("b", {}, said[0]), said[1])];
    if (mark.understood) {
      parts.push(steps(shown.variant, mark.right));
      if (shown.variant.sense) {
        parts.push(WY.element("p", { class: "wy-sense" }, shown.variant.sense));
      }
      shown.control.lock();
      if (shown.control.reveal) {
        shown.control.reveal(shown.variant);
      }
    }
    shown.feedback.replaceChildren();
    WY.add(shown.feedback, parts);
  };

  // A reason that opens with the verdict's own word ("Right: 35 l.") is not told it twice.
  function saidOnce(title, reason) {
    var stem = title.replace(/[.:!]$/, "");
    var opens = reason.indexOf(stem) === 0 && /^[.:,!]/.test(reason.slice(stem.length));
    return opens ? [reason.slice(0, stem.length + 1), reason.slice(stem.length + 1)] : [title, " " + reason];
  }

  var SIGNS = { right: "\u2713", missed: "\u2713", wrong: "\u2717", order: "\u2717" };

  // What an option, a box or a step turned out to be: a sign and a word, for eyes that cannot tell its colour.
  WY.told = function (kind) {
    var tone = SIGNS[kind] === SIGNS.right ? "good" : "bad";
    var sign = WY.element("span", { "aria-hidden": "true" }, SIGNS[kind]);
    return WY.element("span", { class: "wy-told wy-told--" + tone }, sign, " ", WY.word("practice.told_" + kind));
  };

  function steps(variant, closed) {
    var kind = WY.kinds[variant.question.kind];
    var worked = kind.worked && kind.worked(variant);
    return worked ? details(worked.word, !closed, worked.body) : null;
  }

  // A formula wider than a phone scrolls in its own box, which the keyboard reaches only when there is need.
  WY.scrollable = function (lines, word) {
    var box = WY.element("div", { class: "wy-step-lines" }, lines);
    if (globalThis.ResizeObserver) {
      new ResizeObserver(function () {
        var wide = box.scrollWidth > box.clientWidth;
        box.classList.toggle("wy-scroll--wide", wide);
        if (wide) {
          box.setAttribute("tabindex", "0");
          box.setAttribute("role", "group");
          box.setAttribute("aria-label", WY.word(word));
        } else {
          box.removeAttribute("tabindex");
        }
      }).observe(box);
    }
    return box;
  };

  // The right answer in words, where it is short enough to be said.
  function answerText(variant) {
    var kind = WY.kinds[variant.question.kind];
    var said = kind.answer && kind.answer(variant);
    return said ? said + "." : "";
  }

  // The texts of some of a list by their ids, without full stops.
  WY.textsOf = function (list, ids) {
    return list
      .filter(function (one) {
        return ids.indexOf(one.id) >= 0;
      })
      .map(function (one) {
        return one.text.replace(/\.$/, "");
      })
      .join("; ");
  };

  function details(word, open, body) {
    var summary = WY.element("summary", {}, WY.word(word));
    return WY.element("details", { class: "wy-worked-steps", open: open }, summary, body);
  }

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
      this.started = true;
      this.variants = WY.variants(this.getAttribute("item")) || [];
      if (!this.variants.length) {
        return;
      }
      this.classList.add("wy-item");
      if (this.waits()) {
        this.wait();
      } else {
        this.show(false);
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
        this.show(takeFocus);
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
        this.shown.control.focus();
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
      }
    }

    // Shown without an answer: it counts as missed, so the skill comes back.
    giveUp() {
      var reason = WY.word("practice.shown", { answer: answerText(this.shown.variant) });
      WY.showFeedback(this.shown, { right: false, share: 0, reason: reason, understood: true, shown: true });
      this.finish(false);
    }

    finish(right) {
      this.check.hidden = true;
      this.reveal.hidden = true;
      this.another.hidden = false;
      // A Check button that goes away must not take the keyboard's place with it.
      this.another.focus();
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
