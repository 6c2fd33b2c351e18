// A survey on its page: the head is asked once, every step follows at once, and nothing old is left standing.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var ANNOUNCE_AFTER_MS = 700;

  function own(object, name) {
    return Object.prototype.hasOwnProperty.call(object, name);
  }

  // Three figures that count; whole numbers stay whole.
  function shown(value, unit) {
    var whole = value === 0 || value === Math.round(value);
    return WY.number.show(value, unit, whole ? 0 : Math.max(0, 2 - Math.floor(Math.log10(Math.abs(value)))));
  }

  function take(from, into, name) {
    if (from && typeof from === "object" && own(from, name) && typeof from[name] === "string") {
      into[name] = from[name];
    }
  }

  // What was kept of this page, without names that the survey no longer has.
  function kept(plan, key) {
    var filled = { head: {}, hand: {} };
    var read = {};
    try {
      read = JSON.parse(WY.store.get(key)) || {};
    } catch (problem) {
      return filled;
    }
    plan.asks.forEach(function (ask) {
      take(read.head, filled.head, ask.name);
    });
    plan.steps.forEach(function (step) {
      step.inputs.forEach(function (input) {
        take(read.hand, filled.hand, step.name + "." + input.symbol);
      });
    });
    return filled;
  }

  function keep(page) {
    WY.store.set(page.key, JSON.stringify({ head: page.filled.head, hand: page.filled.hand }));
  }

  function changed(page) {
    page.before = null;
    keep(page);
    show(page);
  }

  function show(page) {
    page.filled.machine = WY.fleetChoice.machine();
    var done = WY.surveyWork.work(page.plan, page.filled);
    var refused = refusedAsks(page.plan, page.filled, done);
    page.plan.asks.forEach(function (ask) {
      showAsk(page, ask, refused[ask.name]);
    });
    page.find(".wy-survey__example").hidden = !isExample(page.filled);
    page.plan.steps.forEach(function (step) {
      page.steps[step.name].show(done[step.name]);
    });
    var answers = answersOf(page.plan, done);
    showAnswers(page, answers, standingOf(page.plan, done));
    page.again.replaceChildren(WY.word(page.before ? "survey.undo" : "survey.again"));
  }

  function isExample(filled) {
    return !Object.keys(filled.head).length && !Object.keys(filled.hand).length;
  }

  // What a step refuses of a number that was asked in the head is said at that box too: name -> sentence.
  function refusedAsks(plan, filled, done) {
    var found = {};
    plan.steps.forEach(function (step) {
      step.inputs.forEach(function (input) {
        var byHand = own(filled.hand, step.name + "." + input.symbol);
        if (input.kind === "head" && !byHand && done[step.name].symbol === input.symbol) {
          found[input.name] = done[step.name].here;
        }
      });
    });
    return found;
  }

  function showAsk(page, ask, refused) {
    var box = page.boxes[ask.name];
    var text = own(page.filled.head, ask.name) ? page.filled.head[ask.name] : ask.start;
    var problem = WY.number.read(text, ask.unit).problem || refused || "";
    if (document.activeElement !== box) {
      box.value = text.replace(" " + ask.unit, "");
    }
    box.setAttribute("aria-invalid", String(Boolean(problem)));
    page.said[ask.name].textContent = problem;
  }

  // How far the steps come: all of them, or how many wait for what is wrong.
  function standingOf(plan, done) {
    var worked = plan.steps.filter(function (step) {
      return done[step.name].value !== undefined;
    }).length;
    var waiting = plan.steps.filter(function (step) {
      return done[step.name].waits;
    }).length;
    var whole = worked === plan.steps.length;
    var parts = { done: worked, all: plan.steps.length, waiting: waiting };
    return { whole: whole, text: WY.word(whole ? "survey.whole" : "survey.not-whole", parts) };
  }

  function valueOf(result, unit) {
    return result && result.value !== undefined ? shown(result.value, unit) : "–";
  }

  function answersOf(plan, done) {
    return plan.answers.map(function (name) {
      var gives = WY.formulas[plan.steps[WY.surveyWork.at(plan.steps, name)].formula].facts.gives;
      var means = gives.means.charAt(0).toUpperCase() + gives.means.slice(1);
      return { means: means, text: valueOf(done[name], gives.unit) };
    });
  }

  // The answers for both ends of a table of poorly known figures, a row each.
  function bandOf(page, asked) {
    var rows = asked.band.map(function (text) {
      var head = Object.assign({}, page.filled.head);
      head[asked.name] = text;
      var done = WY.surveyWork.work(page.plan, Object.assign({}, page.filled, { head: head }));
      var value = WY.number.plain(WY.number.read(text, asked.unit).value) + "\u00a0" + asked.shown;
      return WY.element("tr", {}, WY.element("th", { scope: "row" }, value), cells("td", answersOf(page.plan, done), "text"));
    });
    var answers = answersOf(page.plan, {});
    var titles = WY.element("tr", {}, WY.element("th", { scope: "col" }, asked.means), cells("th", answers, "means"));
    return WY.element(
      "table",
      { class: "wy-data wy-survey__ends" },
      WY.element("caption", {}, WY.word("survey.band")),
      WY.element("thead", {}, titles),
      WY.element("tbody", {}, rows),
    );
  }

  function cells(tag, answers, part) {
    return answers.map(function (one) {
      return WY.element(tag, tag === "th" ? { scope: "col" } : { "data-wy-means": one.means + ": " }, one[part]);
    });
  }

  function showAnswers(page, answers, standing) {
    page.find(".wy-survey__band").replaceChildren();
    WY.add(
      page.find(".wy-survey__band"),
      page.plan.asks
        .filter(function (asked) {
          return asked.band.length && answers.length;
        })
        .map(function (asked) {
          return bandOf(page, asked);
        }),
    );
    var list = page.find(".wy-survey__answers");
    list.replaceChildren();
    WY.add(
      list,
      answers.map(function (one) {
        return WY.element("div", {}, WY.element("dt", {}, one.means), WY.element("dd", {}, one.text));
      }),
    );
    page.find(".wy-survey__standing").textContent = standing.text;
    page.find(".wy-survey__standing").classList.toggle("wy-survey__standing--bad", !standing.whole);
    clearTimeout(page.timer);
    page.timer = setTimeout(function () {
      var said = answers.map(function (one) {
        return one.means + ": " + one.text + ".";
      });
      WY.announce([standing.text].concat(said).join(" "));
    }, ANNOUNCE_AFTER_MS);
  }

  // A value that stood for the sheet of another machine does not stand for this one.
  function dropOfOtherMachine(page) {
    page.plan.steps.forEach(function (step) {
      step.inputs.forEach(function (input) {
        if (input.kind === "sheet") {
          delete page.filled.hand[step.name + "." + input.symbol];
        }
      });
    });
    changed(page);
  }

  function startAgain(page) {
    var other = page.before;
    page.before = other ? null : page.filled;
    page.filled = other || { head: {}, hand: {} };
    keep(page);
    show(page);
  }

  function ask(page, asked) {
    var box = page.find('[data-wy-ask="' + asked.name + '"]');
    var lines = page.find('[data-wy-lines="' + asked.name + '"]');
    page.boxes[asked.name] = box;
    page.said[asked.name] = document.getElementById(box.getAttribute("aria-describedby"));
    box.addEventListener("input", function () {
      page.filled.head[asked.name] = box.value;
      changed(page);
    });
    if (lines) {
      lines.hidden = false;
      lines.addEventListener("click", function (event) {
        var line = event.target.getAttribute("data-wy-line");
        if (line) {
          page.filled.head[asked.name] = line;
          changed(page);
        }
      });
    }
  }

  // The texts written by hand, which a step reads, changes and (with null) puts back.
  function handOf(page) {
    return function (name, text) {
      if (text === null) {
        delete page.filled.hand[name];
      } else if (text !== undefined) {
        page.filled.hand[name] = text;
      }
      if (text !== undefined) {
        changed(page);
      }
      return page.filled.hand[name];
    };
  }

  function survey(block) {
    var plan = WY.surveys[block.getAttribute("data-wy-survey")];
    var key = "survey:" + plan.key;
    /** @type {any} */
    var page = { plan: plan, key: key, filled: kept(plan, key), before: null, timer: 0, steps: {}, boxes: {}, said: {} };
    page.find = function (selector) {
      return block.querySelector(selector);
    };
    page.again = WY.button("survey.again", function () {
      startAgain(page);
    });
    var print = WY.button("survey.print", function () {
      window.print();
    });
    page.find(".wy-survey__buttons").append(print, " ", page.again);
    page.find("form").addEventListener("submit", function (event) {
      event.preventDefault();
    });
    plan.asks.forEach(function (asked) {
      ask(page, asked);
    });
    plan.steps.forEach(function (step) {
      var place = page.find('[data-wy-step="' + step.name + '"]');
      page.steps[step.name] = WY.surveyStep(plan, step, place, handOf(page));
    });
    show(page);
    WY.fleetChoice.watch(function () {
      dropOfOtherMachine(page);
    });
  }

  WY.survey = { shown: shown };
  WY.whenReady(function () {
    Array.prototype.forEach.call(document.querySelectorAll("[data-wy-survey]"), survey);
  });
})();
