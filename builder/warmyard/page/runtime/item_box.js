// What stands in the box of a problem: the question, its control, what came back, and the steps.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var NAME_SIGNS = 70;

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
    return WY.unbroken(text).split("\n").map(function (line, at) {
      return [at ? WY.element("br", {}) : null, line];
    });
  }

  // Says what a mark means: a reason in words, then the worked steps and the trade's sentence.
  WY.showFeedback = function (shown, mark) {
    var kind = !mark.understood ? "help" : mark.right ? "good" : mark.share > 0 ? "part" : "bad";
    var title = WY.word("practice.is_" + (mark.critical_fail ? "critical" : mark.shown ? "shown" : mark.again ? "again" : kind));
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

  WY.answerText = answerText;

  // The beginning of a long text, cut at a word.
  WY.shortened = function (text) {
    return text.length <= NAME_SIGNS ? text : text.slice(0, text.lastIndexOf(" ", NAME_SIGNS)) + " …";
  };

  // What was typed, where the problem takes typing.
  WY.isTyped = function (shown) {
    return Boolean((shown.control.response().text || "").trim());
  };

  // Why a problem counts as not answered: nothing was written, or what was written cannot be read.
  WY.whyOpen = function (shown, mark) {
    return WY.isTyped(shown) ? WY.word("record.unread", { why: mark.reason }) : WY.word("record.not_answered");
  };

  // The problems that would count as not answered, each by its name with its reason and a way to it.
  WY.sayOpen = function (status, said, set, marks, nameOf) {
    var lines = marks.map(function (mark, at) {
      if (mark.understood) {
        return null;
      }
      var to = WY.button("practice.begin", function () {
        WY.bringQuestion(set[at].feedback.parentNode, set[at].control, set[at].place);
      }, { class: "wy-link" });
      to.textContent = nameOf(at);
      return WY.element("li", {}, to, ": ", WY.whyOpen(set[at], mark));
    });
    status.replaceChildren();
    WY.add(status, [WY.element("p", {}, said), WY.element("ul", {}, lines)]);
    status.querySelector(".wy-link").focus({ preventScroll: true });
    WY.bringNear(status);
  };
})();
