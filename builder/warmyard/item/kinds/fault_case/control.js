// A fault case: checks chosen one by one, moves to get ready for them, then the cause, what is behind it, what is fit.
(function () {
  "use strict";
  var WY = globalThis.WY;

  function control(question, options) {
    var faults = question.case;
    var key = options && options.key;
    var path = [];
    var ended = false;
    var part = {};

    function walked() {
      return WY.cases.walk(faults, key, path);
    }
    function take(step, pressed) {
      if (!step || ended) {
        return false;
      }
      path.push(step);
      var now = walked();
      tell(faults, part, pressed, step, now.out_of_reach, take);
      if (now.out_of_reach) {
        path.pop();
        return false;
      }
      ended = Boolean(now.stopped_by);
      part.after.element.hidden = ended;
      part.conclude.hidden = ended;
      show(faults, key, part, path, now);
      if (ended && options && options.stopped) {
        options.stopped();
      }
      return true;
    }

    part = build(faults, take, WY.caseTold.few(faults, question.item, key));
    show(faults, key, part, path, walked());
    return {
      element: part.element,
      response: function () {
        return Object.assign({ path: path.slice() }, concluded(part));
      },
      restore: function (response) {
        path = (response.path || []).slice();
        conclude(part, response);
        show(faults, key, part, path, walked());
      },
      lock: function () {
        ended = true;
        disable(part);
      },
      focus: function () {
        (part.after.filter.parentNode.hidden ? part.after.moves : part.after.filter).focus();
      },
      reveal: function (variant) {
        tellChoice(part.cause, variant.key.cause);
        tellChoice(part.behind, variant.key.behind);
        if (faults.fit.length) {
          part.fit.tell([variant.key.fit]);
        }
        part.element.append(besides(faults, variant.key, path, part.cause.value));
      },
    };
  }

  // What cannot be done from here: nothing was done and nothing is lost.
  function refusal(faults, step) {
    var check = WY.caseTold.checkOf(faults, step);
    return WY.word("case.out_of_reach", { check: check.text, needs: WY.caseTold.nameOf(faults.standings, check.needs) });
  }

  // What a check needs is a button away; the check stays ticked, so that it can be made from there.
  function offerWay(faults, part, pressed, step, take) {
    var needs = WY.caseTold.checkOf(faults, step).needs;
    var go = WY.button("case.go_to", function () {
      take("to:" + needs, pressed);
    });
    go.textContent = WY.word("case.go_to", { name: WY.caseTold.nameOf(faults.standings, needs) });
    WY.add(part.note, [" ", go]);
  }

  // Under the button, seen and said: the log is a screen away from it on a telephone.
  function tell(faults, part, pressed, step, refused, take) {
    var text = refused ? refusal(faults, refused) : WY.caseTold.sees(faults, step);
    part.note.textContent = text;
    part.note.classList.toggle("wy-case-note--refused", Boolean(refused));
    if (refused) {
      offerWay(faults, part, pressed, refused, take);
    }
    pressed.after(part.note);
    part.note.scrollIntoView({ block: "nearest" });
    WY.announce(text);
  }

  // Writes the log, where one stands, the minutes so far and the moves from here.
  function show(faults, key, part, path, now) {
    part.log.replaceChildren();
    WY.add(part.log, logRows(faults, path, key));
    part.standing.textContent = WY.caseTold.nameOf(faults.standings, now.standing);
    part.minutes.textContent = WY.word("case.minutes", { minutes: Math.round(now.minutes * 10) / 10 });
    part.moves.replaceChildren();
    WY.add(part.moves, moveOptions(faults, key, now.standing));
  }

  // What was concluded, as it is marked and kept.
  function concluded(part) {
    return {
      cause: part.cause.value,
      behind: part.behind ? part.behind.value : "",
      fit: part.fit.chosen()[0] || "",
    };
  }

  function conclude(part, response) {
    part.cause.value = response.cause || "";
    if (part.behind) {
      part.behind.value = response.behind || "";
    }
    part.fit.choose([response.fit]);
  }

  // What was named, told at its own box; where nothing was named the reason says what it was.
  function tellChoice(box, right) {
    if (box && box.value) {
      box.parentNode.classList.add(box.value === right ? "wy-field--right" : "wy-field--wrong");
      box.parentNode.append(WY.told(box.value === right ? "right" : "wrong"));
    }
  }

  function disable(part) {
    part.element.querySelectorAll("input, select, button").forEach(function (one) {
      one.disabled = true;
    });
    part.after.element.hidden = true;
  }

  function logRows(faults, path, key) {
    return path.map(function (step, at) {
      var check = WY.caseTold.checkOf(faults, step);
      if (!check) {
        return WY.element("li", { class: "wy-log-move" }, WY.caseTold.sees(faults, step));
      }
      return WY.element(
        "li",
        {},
        WY.element("b", {}, check.text),
        WY.element("span", { class: "wy-sees" }, check.sees),
        key ? WY.element("span", { class: "wy-small" }, WY.caseTold.ruledOut(faults, path.slice(0, at), step)) : null,
      );
    });
  }

  function moveOptions(faults, key, standing) {
    var ladder = key ? key.ladder : faults.ladder;
    var offered = faults.standings.filter(function (one) {
      return WY.cases.minutesTo(ladder, standing, one.id) > 0;
    });
    var first = WY.element("option", { value: "" }, WY.word(offered.length ? "case.move_choose" : "case.move_none"));
    return [first].concat(
      offered.map(function (one) {
        var minutes = WY.cases.minutesTo(ladder, standing, one.id);
        return WY.element("option", { value: "to:" + one.id }, WY.word("case.move", { name: one.text, minutes: minutes }));
      }),
    );
  }

  function build(faults, take, few) {
    var part = {};
    part.standing = WY.element("b", {});
    part.minutes = WY.element("b", {});
    part.log = WY.element("ol", { class: "wy-log" });
    part.note = WY.element("p", { class: "wy-case-note" });
    part.after = nextStep(faults, take, few);
    part.moves = part.after.moves;
    part.conclude = conclusion(faults, part);
    part.element = WY.element(
      "div",
      { class: "wy-case" },
      WY.element("blockquote", { class: "wy-said" }, faults.as_said),
      WY.element("p", { class: "wy-small" }, WY.word("case.about", { symptom: faults.symptom, level: faults.level })),
      faults.contexts.length
        ? WY.element(
            "ul",
            { class: "wy-contexts" },
            faults.contexts.map(function (text) {
              return WY.element("li", {}, text);
            }),
          )
        : null,
      WY.element("p", { class: "wy-standing" }, WY.word("case.you_are") + " ", part.standing, " · ", part.minutes),
      WY.element("div", { role: "group", "aria-label": WY.word("case.log") }, part.log),
      part.after.element,
      part.conclude,
    );
    return part;
  }

  // What to do next: a list of all checks that narrows as one types, and the moves of the ladder.
  function nextStep(faults, take, few) {
    var filter = field("case.filter", WY.element("input", { type: "search", class: "wy-input", autocomplete: "off" }));
    var list = WY.choiceList(
      faults.checks.map(function (check) {
        var word = check.level ? "case.check" : "case.check_anyone";
        return { id: check.id, text: WY.word(word, { name: check.text, minutes: check.minutes, level: check.level }) };
      }),
      false,
      { text: WY.word("case.checks") },
    );
    list.list.classList.add("wy-scroll");
    filter.input.addEventListener("input", function () {
      var wanted = filter.input.value.trim().toLowerCase();
      list.inputs.forEach(function (input) {
        input.parentNode.hidden = input.parentNode.textContent.toLowerCase().indexOf(wanted) < 0;
      });
    });
    var moves = WY.element("select", { class: "wy-input" });
    var moving = field("case.moves_label", moves);
    var row = WY.element("div", { class: "wy-row" }, moving.element, WY.button("case.go", function () {
      take(moves.value, row);
    }));
    var make = WY.button("case.do", function () {
      // A check that cannot be made from here stays ticked: the next move may be towards it.
      if (take(list.chosen()[0], doing)) {
        list.choose([]);
      }
    }, { class: "wy-button wy-button--main" });
    var doing = WY.element("div", { class: "wy-actions wy-next__do" }, make);
    var element = WY.element(
      "div",
      { class: "wy-next", role: "group", "aria-label": WY.word("case.next") },
      row,
      filter.element,
      list.element,
      doing,
    );
    if (few.length) {
      offerFew(doing, filter.element, list, few);
    }
    return { element: element, moves: moves, filter: filter.input };
  }

  // On an easy call a handful of checks stands open; all of them are a button away.
  function offerFew(doing, filter, list, few) {
    function offer(all) {
      filter.hidden = !all;
      list.list.classList.toggle("wy-scroll", all);
      list.inputs.forEach(function (input) {
        input.parentNode.hidden = !all && few.indexOf(input.value) < 0;
      });
    }
    var more = WY.button("case.all_checks", function () {
      more.remove();
      offer(true);
      filter.querySelector("input").focus();
    }, { class: "wy-button wy-button--quiet" });
    doing.append(more);
    offer(false);
  }

  function field(word, input) {
    input.id = WY.newId();
    var label = WY.element("label", { for: input.id }, WY.word(word));
    return { element: WY.element("div", { class: "wy-field" }, label, input), input: input };
  }

  function conclusion(faults, part) {
    part.cause = chooser(faults.causes);
    part.behind = faults.behind.length ? chooser(faults.behind) : null;
    part.fit = WY.choiceList(faults.fit, false, { text: WY.word("case.fit") });
    return WY.element(
      "div",
      { class: "wy-conclude", role: "group", "aria-label": WY.word("case.conclude") },
      field("case.cause", part.cause).element,
      part.behind ? field("case.behind", part.behind).element : null,
      faults.fit.length ? part.fit.element : null,
    );
  }

  function chooser(options) {
    return WY.element(
      "select",
      { class: "wy-input" },
      WY.element("option", { value: "" }, WY.word("case.choose")),
      options.map(function (one) {
        return WY.element("option", { value: one.id }, one.text);
      }),
    );
  }

  // Afterwards: the own way beside the best one, with the reason at each of its steps.
  function besides(faults, key, path, named) {
    var own = path.map(function (step) {
      return WY.element("li", {}, WY.caseTold.sees(faults, step));
    });
    var best = key.best.map(function (step, at) {
      var why = key.best_reasons[at] || "";
      return WY.caseTold.checkOf(faults, step)
        ? WY.element("li", {}, WY.caseTold.sees(faults, step) + " ", WY.element("span", { class: "wy-small" }, why))
        : WY.element("li", { class: "wy-log-move" }, why);
    });
    return WY.element(
      "div",
      { class: "wy-ways" },
      WY.element(
        "section",
        {},
        WY.element("p", { class: "wy-legend" }, WY.word("case.own_way")),
        WY.element("ol", {}, own),
        named && named !== key.cause ? WY.element("p", {}, WY.caseTold.excludedBy(faults, path, named)) : null,
      ),
      WY.element(
        "section",
        {},
        WY.element("p", { class: "wy-legend" }, WY.word("case.best_way", { minutes: key.best_minutes })),
        WY.element("ol", {}, best),
      ),
    );
  }

  function isBlank(response) {
    return !response.path.length && !response.cause && !response.behind && !response.fit;
  }

  function answer(variant) {
    return WY.textsOf(variant.question.case.causes, [variant.key.cause]);
  }

  WY.kinds["fault-case"] = { control: control, isBlank: isBlank, answer: answer, retry: WY.caseTold.retry, rungs: WY.caseTold.rungs };
})();
