// A sitting: opened with the phrase of the slip, answered offline, kept sealed through a crash, handed in with a code.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var sheet = WY.sheet;
  var element = WY.element;
  var say = WY.word;
  var KEEP_EVERY_MS = 10000;
  var paper, main, key, content, state, clockFrom, kept, keeping;

  // What a page knows of a sitting; `seconds` counts only while the page is open, by the monotonic clock.
  function blank() {
    return { answers: {}, again: {}, at: 0, seconds: 0, started_at: now(), resumed: [], left: 0, file: null };
  }

  function now() {
    return new Date().toISOString().slice(0, 19) + "Z";
  }

  function storeKey() {
    return "wy-paper:" + paper.paper + ":" + paper.sealed.salt;
  }

  // What the seal is bound to: a paper whose open part was edited does not open.
  function about() {
    return [paper.format, paper.paper, paper.person, paper.level, paper.part, paper.attempt].join("|");
  }

  function start() {
    WY.words = sheet.data("words");
    paper = sheet.data("paper");
    main = document.getElementById("wy-main");
    if (!WY.seal.ready()) {
      sheet.show(main, element("p", { class: "wy-alert", role: "alert" }, say("paper.no_crypto")));
      return;
    }
    drawCover();
  }

  // ---- Before the start -------------------------------------------------------------------------------------------

  function drawCover() {
    var status = element("p", { role: "status", class: "wy-status" });
    var phrase = element("input", {
      type: "text",
      id: "wy-phrase",
      autocomplete: "off",
      autocapitalize: "characters",
      spellcheck: "false",
      maxlength: 80,
    });
    var begun = WY.storage.get(storeKey()) !== null;
    var form = element(
      "form",
      {
        class: "wy-start",
        onsubmit: function (event) {
          event.preventDefault();
          begin(phrase, status);
        },
      },
      element("label", { for: "wy-phrase" }, say("paper.phrase")),
      phrase,
      element("button", { type: "submit", class: "wy-button wy-button--main" }, say(begun ? "paper.go_on" : "paper.start")),
      status,
    );
    sheet.show(
      main,
      element("p", {}, say("paper.count", { count: paper.count, minutes: paper.minutes })),
      element(
        "ul",
        {},
        element("li", {}, say("paper.cut", { cut: paper.cut })),
        element("li", {}, say("paper.offline")),
        element("li", {}, say("paper.no_marks")),
        element("li", {}, say("paper.drafts")),
      ),
      element("h2", {}, say("paper.conduct")),
      element(
        "ul",
        {},
        paper.conduct.map(function (line) {
          return element("li", {}, line);
        }),
      ),
      begun ? element("p", { class: "wy-alert" }, say("paper.begun")) : null,
      form,
    );
    phrase.focus();
  }

  async function begin(phrase, status) {
    if (WY.seal.plain(phrase.value).length < 16) {
      status.textContent = say("paper.phrase_short");
      phrase.focus();
      return;
    }
    status.textContent = say("paper.opening");
    try {
      key = await WY.seal.keyFrom(phrase.value, paper.sealed);
      content = JSON.parse(WY.seal.textOf(await WY.seal.open(key, paper.sealed, about())));
    } catch (problem) {
      status.textContent = say("paper.phrase_wrong");
      phrase.select();
      return;
    }
    state = (await readDraft()) || blank();
    clockFrom = performance.now();
    if (!state.file) {
      watch();
    }
    keep();
    (state.file ? drawDone : drawQuestion)();
  }

  async function readDraft() {
    try {
      var draft = JSON.parse(WY.storage.get(storeKey()));
      if (!draft) {
        return null;
      }
      var found = JSON.parse(WY.seal.textOf(await WY.seal.open(key, draft, "draft|" + about())));
      if (!found.file) {
        found.resumed.push({ at: now(), seconds: Math.floor(found.seconds) });
      }
      return found;
    } catch (problem) {
      return null;
    }
  }

  // ---- Clock and drafts -------------------------------------------------------------------------------------------

  function seconds() {
    return state.seconds + (performance.now() - clockFrom) / 1000;
  }

  function isOver() {
    return seconds() >= paper.minutes * 60;
  }

  function watch() {
    setInterval(showTime, 1000);
    setInterval(keep, KEEP_EVERY_MS);
    document.addEventListener("visibilitychange", function () {
      if (document.hidden && !state.file) {
        state.left += 1;
        keep();
      }
    });
    window.addEventListener("beforeunload", function (event) {
      if (!state.file) {
        event.preventDefault();
      }
    });
  }

  function showTime() {
    var box = document.getElementById("wy-time");
    if (!box || state.file) {
      return;
    }
    var left = Math.ceil(paper.minutes - seconds() / 60);
    box.textContent = left > 0 ? say("paper.left", { minutes: left }) : say("paper.time_up");
    box.classList.toggle("wy-time-short", left <= 5);
    if (isOver() && !document.getElementById("wy-over")) {
      drawCheck();
    }
  }

  // Seals the state and stores it. One write at a time, and always one more after the last change.
  function keep() {
    kept = false;
    keeping = keeping || keepOnce();
  }

  async function keepOnce() {
    try {
      await keepAll();
    } finally {
      keeping = null;
    }
  }

  async function keepAll() {
    while (!kept) {
      kept = true;
      var text = JSON.stringify(Object.assign({}, state, state.file ? {} : { seconds: seconds() }));
      var box = await WY.seal.close(key, WY.seal.bytesOf(text), "draft|" + about());
      if (!WY.storage.set(storeKey(), JSON.stringify(box))) {
        document.querySelectorAll(".wy-kept").forEach(function (line) {
          line.textContent = say("sheet.no_store");
        });
      }
    }
  }

  // ---- Questions --------------------------------------------------------------------------------------------------

  function isAnswered(name) {
    return state.answers[name] !== undefined;
  }

  function answered() {
    return content.questions.filter(function (one) {
      return isAnswered(one.name);
    }).length;
  }

  function go(at) {
    state.at = Math.max(0, Math.min(content.questions.length - 1, at));
    keep();
    drawQuestion();
  }

  function drawQuestion() {
    if (isOver()) {
      drawCheck();
      return;
    }
    var one = content.questions[state.at];
    var last = state.at === content.questions.length - 1;
    var box = element("div", { class: "wy-item wy-question" });
    sheet.show(
      main,
      drawBar(),
      element("h2", { id: "wy-heading", tabindex: "-1" }, say("paper.question", { number: state.at + 1, count: content.questions.length })),
      box,
      element("label", { class: "wy-again" }, againBox(one.name), element("span", {}, say("paper.again"))),
      element(
        "div",
        { class: "wy-actions" },
        WY.button("paper.back", function () { go(state.at - 1); }, { disabled: state.at === 0 }),
        last ? null : WY.button("paper.next", function () { go(state.at + 1); }, { class: "wy-button wy-button--main" }),
        WY.button("paper.finish", drawCheck, { class: last ? "wy-button wy-button--main" : "wy-button" }),
      ),
      drawOverview(),
    );
    WY.sitting.ask(box, one.question, state.answers[one.name], function (response) {
      if (isOver()) {
        return;
      }
      if (response === null) {
        delete state.answers[one.name];
      } else {
        state.answers[one.name] = response;
      }
      keep();
      refresh();
    });
    refresh();
    sheet.at("wy-heading").focus();
  }

  function againBox(name) {
    return element("input", {
      type: "checkbox",
      checked: Boolean(state.again[name]),
      onchange: function (event) {
        state.again[name] = event.target.checked;
        keep();
        refresh();
      },
    });
  }

  function drawBar() {
    return element(
      "div",
      { class: "wy-bar" },
      element("span", { id: "wy-answered" }, answeredText()),
      element("span", { id: "wy-time", role: "timer" }, ""),
      element("progress", { id: "wy-progress", max: content.questions.length, value: answered(), "aria-label": say("paper.progress") }),
      element("span", { class: "wy-kept wy-quiet", role: "status" }, ""),
    );
  }

  function answeredText() {
    return say("paper.answered", { done: answered(), count: content.questions.length });
  }

  function drawOverview() {
    return element(
      "nav",
      { class: "wy-overview", "aria-label": say("paper.overview") },
      content.questions.map(function (one, at) {
        return element("button", {
          type: "button",
          id: "wy-go-" + at,
          "aria-current": at === state.at ? "step" : null,
          onclick: function () {
            go(at);
          },
        });
      }),
    );
  }

  // Brings bar and overview up to date without touching what the candidate is typing in.
  function refresh() {
    var line = document.getElementById("wy-answered");
    if (line) {
      line.textContent = answeredText();
      sheet.at("wy-progress").value = answered();
    }
    content.questions.forEach(function (one, at) {
      var spot = document.getElementById("wy-go-" + at);
      if (spot) {
        var how = state.again[one.name] ? "again" : isAnswered(one.name) ? "answered" : "open";
        spot.textContent = String(at + 1);
        spot.className = "wy-go wy-go-" + how;
        spot.setAttribute("aria-label", say("paper.go_" + how, { number: at + 1 }));
      }
    });
    showTime();
  }

  // ---- Hand in ----------------------------------------------------------------------------------------------------

  function drawCheck() {
    var over = isOver();
    var open = content.questions.length - answered();
    sheet.show(
      main,
      over ? null : drawBar(),
      element("h2", { id: over ? "wy-over" : "wy-heading", tabindex: "-1" }, say(over ? "paper.time_up" : "paper.check")),
      element("p", { class: open ? "wy-alert" : "" }, open ? say("paper.open", { open: open }) : say("paper.all_answered")),
      over ? null : drawOverview(),
      element("p", {}, say("paper.final")),
      element(
        "div",
        { class: "wy-actions" },
        over ? null : WY.button("paper.to_questions", drawQuestion),
        WY.button("paper.hand_in", handIn, { class: "wy-button wy-button--main" }),
      ),
    );
    if (!over) {
      refresh();
    }
    main.querySelector("h2").focus();
  }

  // The sitting as it is handed in: certify/exam/sitting.py reads exactly these fields. Whole numbers and text only.
  async function handIn() {
    state.seconds = Math.floor(seconds());
    var record = {
      format: paper.sitting_format,
      paper: paper.paper,
      person: paper.person,
      sealed: sheet.hex(await WY.seal.digest(WY.seal.bytesOf(paper.sealed.box))),
      answers: content.questions.filter(function (one) {
        return isAnswered(one.name);
      }).map(function (one) {
        return { question: one.name, response: state.answers[one.name] };
      }),
      claimed: { started_at: state.started_at, handed_in_at: now(), seconds: state.seconds, resumed: state.resumed, left: state.left },
    };
    state.file = JSON.stringify(record);
    state.answers = {};
    keep();
    await drawDone();
    saveFile();
  }

  function saveFile() {
    WY.saveFile(paper.paper + ".sitting.json", WY.seal.bytesOf(state.file));
  }

  async function drawDone() {
    var code = await WY.seal.code(WY.seal.bytesOf(state.file));
    sheet.show(
      main,
      element("h2", { tabindex: "-1" }, say("paper.done")),
      element("p", {}, say("paper.code")),
      element("p", { class: "wy-code", id: "wy-code" }, code),
      element("p", {}, say("paper.saved", { file: paper.paper + ".sitting.json" })),
      element(
        "div",
        { class: "wy-actions" },
        WY.button("sheet.save_again", saveFile),
        WY.button("sheet.print", function () { window.print(); }),
      ),
      element("p", { class: "wy-quiet" }, say("paper.result_later")),
    );
    main.querySelector("h2").focus();
  }

  WY.whenReady(start);
})();
