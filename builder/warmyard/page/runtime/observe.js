// The observer's form: marks per point, stop at once, notes, sign, save. Works with no network; drafts stay here.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var sheet = WY.sheet;
  var element = WY.element;
  var say = WY.word;
  var MARKS = ["pass", "fail", "not-seen"];
  var form, main, status, state;

  function blank() {
    return { marks: {}, notes: {}, text: "", stopped: null, role: "first", name: "", person: "", on: WY.today(), minutes: "" };
  }

  function key() {
    return "wy-observe:" + form.form;
  }

  function keep() {
    status.textContent = "";
    if (!WY.storage.set(key(), JSON.stringify(state))) {
      status.textContent = say("sheet.no_store");
    }
  }

  function start() {
    WY.words = sheet.data("words");
    form = sheet.data("form");
    main = document.getElementById("wy-main");
    state = Object.assign(blank(), readDraft());
    draw();
  }

  function readDraft() {
    try {
      return JSON.parse(WY.storage.get(key())) || {};
    } catch (problem) {
      return {};
    }
  }

  function draw() {
    status = element("p", { role: "status", class: "wy-status" });
    sheet.show(
      main,
      element("p", { class: "wy-setting" }, form.setting),
      element("p", {}, say("observe.intro", { minutes: form.minutes, percent: form.cut_percent })),
      element("p", { class: "wy-alert" }, say("observe.not_seen")),
      element("p", {}, say("observe.stop_hint")),
      drawStop(),
      element("ol", { class: "wy-station" }, form.points.map(drawPoint)),
      labelled("observe.notes", element("textarea", { rows: 4, maxlength: 2000, oninput: typed("text") }, state.text)),
      drawSignature(),
      element("div", { class: "wy-actions" }, WY.button("observe.save", finish, { class: "wy-button wy-button--main" })),
      status,
    );
  }

  function typed(name) {
    return function (event) {
      state[name] = event.target.value;
      keep();
    };
  }

  function labelled(word, control, hint) {
    return element("label", { class: "wy-field" }, element("span", {}, say(word)), control, hint ? element("small", {}, say(hint)) : null);
  }

  function drawPoint(point) {
    var group = element(
      "fieldset",
      { class: "wy-point" + (point.critical ? " wy-critical" : ""), id: "point-" + point.id },
      element("legend", {}, point.critical ? element("strong", {}, say("observe.critical") + " ") : null, point.look),
    );
    var choices = element("div", { class: "wy-choices" });
    MARKS.forEach(function (mark) {
      var box = element("input", {
        type: "radio",
        name: point.id,
        value: mark,
        checked: state.marks[point.id] === mark,
        onchange: function () {
          state.marks[point.id] = mark;
          keep();
        },
      });
      choices.append(element("label", { class: "wy-mark-" + mark }, box, element("span", {}, say("observe." + mark))));
    });
    group.append(
      choices,
      element(
        "label",
        { class: "wy-field" },
        element("span", { class: "wy-quiet" }, say("observe.note")),
        element("input", {
          type: "text",
          maxlength: 2000,
          value: state.notes[point.id] || "",
          oninput: function (event) {
            state.notes[point.id] = event.target.value;
            keep();
          },
        }),
      ),
    );
    return element("li", {}, group);
  }

  function drawStop() {
    var box = element("section", { class: "wy-stop" + (state.stopped === null ? "" : " wy-stopped") });
    function redraw() {
      keep();
      box.replaceWith(drawStop());
    }
    if (state.stopped === null) {
      box.append(
        WY.button(
          "observe.stop",
          function () {
            state.stopped = "";
            redraw();
            main.querySelector(".wy-stop textarea").focus();
          },
          { class: "wy-button wy-stop-button" },
        ),
      );
    } else {
      box.append(
        element("p", { class: "wy-alert" }, say("observe.stopped")),
        labelled("observe.stop_why", element("textarea", { rows: 2, maxlength: 2000, oninput: typed("stopped") }, state.stopped)),
        WY.button("observe.stop_undo", function () {
          state.stopped = null;
          redraw();
        }),
      );
    }
    return box;
  }

  function drawSignature() {
    function role(value) {
      var box = element("input", {
        type: "radio",
        name: "role",
        value: value,
        checked: state.role === value,
        onchange: function () {
          state.role = value;
          keep();
        },
      });
      return element("label", {}, box, element("span", {}, say("observe.role_" + value)));
    }
    return element(
      "fieldset",
      { class: "wy-sign" },
      element("legend", {}, say("observe.sign")),
      element("div", { class: "wy-choices" }, role("first"), role("second")),
      labelled("observe.name", element("input", { type: "text", name: "name", autocomplete: "off", maxlength: 200, value: state.name, oninput: typed("name") })),
      labelled(
        "observe.person",
        element("input", { type: "text", name: "person", autocomplete: "off", autocapitalize: "none", maxlength: 40, value: state.person, oninput: typed("person") }),
        "observe.person_hint",
      ),
      labelled("observe.on", element("input", { type: "date", name: "on", value: state.on, onchange: typed("on") })),
      labelled("observe.minutes", element("input", { type: "text", name: "minutes", inputmode: "numeric", maxlength: 4, value: state.minutes, oninput: typed("minutes") })),
    );
  }

  // Returns the first thing that keeps the form from being saved, and where it is, or null.
  function lacking() {
    var open = form.points.find(function (point) {
      return !state.marks[point.id];
    });
    if (open) {
      return { word: "observe.lacks_mark", parts: { look: open.look }, at: "#point-" + CSS.escape(open.id) + " input" };
    }
    if (state.stopped !== null && !state.stopped.trim()) {
      return { word: "observe.lacks_why", at: ".wy-stop textarea" };
    }
    if (!state.name.trim()) {
      return { word: "observe.lacks_name", at: "input[name=name]" };
    }
    if (!/^[a-z0-9-]{1,40}$/.test(state.person.trim())) {
      return { word: "observe.lacks_person", at: "input[name=person]" };
    }
    if (!/^\d{4}-\d{2}-\d{2}$/.test(state.on)) {
      return { word: "observe.lacks_date", at: "input[name=on]" };
    }
    if (!/^\d{1,4}$/.test(state.minutes.trim()) || Number(state.minutes) > 1440) {
      return { word: "observe.lacks_minutes", at: "input[name=minutes]" };
    }
    return null;
  }

  // What is saved: exactly the fields of certify/exam/observation.py, nothing empty among them.
  function record() {
    var made = {
      format: form.format,
      form: form.form,
      person: form.person,
      level: form.level,
      station: form.station,
      points_digest: form.points_digest,
      role: state.role,
      observed_on: state.on,
      minutes: Number(state.minutes),
      points: form.points.map(function (point) {
        var note = (state.notes[point.id] || "").trim();
        var mark = { id: point.id, mark: state.marks[point.id] };
        return note ? Object.assign(mark, { note: note }) : mark;
      }),
      observer: { person: state.person.trim(), name: state.name.trim() },
    };
    if (state.stopped !== null) {
      made.stopped = state.stopped.trim();
    }
    if (state.text.trim()) {
      made.notes = state.text.trim();
    }
    return made;
  }

  // The marks once more, so that a printed and signed sheet says what was signed.
  function drawMarks() {
    return element(
      "table",
      { class: "wy-table" },
      element("tbody", {}, form.points.map(function (point) {
        var note = (state.notes[point.id] || "").trim();
        var look = (point.critical ? say("observe.critical") + " " : "") + point.look + (note ? " (" + note + ")" : "");
        return element("tr", {}, element("td", {}, look), element("td", {}, say("observe." + state.marks[point.id])));
      })),
    );
  }

  async function finish() {
    var lack = lacking();
    if (lack) {
      status.textContent = say(lack.word, lack.parts);
      main.querySelector(lack.at).focus();
      return;
    }
    var bytes = WY.seal.bytesOf(JSON.stringify(record()));
    var name = form.form + ".observation.json";
    WY.saveFile(name, bytes);
    var code = WY.seal.ready() ? await WY.seal.code(bytes) : null;
    sheet.show(
      main,
      element("h2", { tabindex: "-1" }, say("observe.saved")),
      element("p", {}, say("observe.saved_as", { file: name })),
      state.stopped === null ? null : element("p", { class: "wy-alert" }, say("observe.stopped") + " " + state.stopped.trim()),
      code ? element("p", {}, say("observe.code")) : element("p", { class: "wy-alert" }, say("observe.no_code")),
      code ? element("p", { class: "wy-code" }, code) : null,
      element("p", { class: "wy-hand" }, say("observe.hand", { name: state.name.trim() })),
      drawMarks(),
      element(
        "div",
        { class: "wy-actions" },
        WY.button("sheet.save_again", function () {
          WY.saveFile(name, bytes);
        }),
        WY.button("observe.back", draw),
        WY.button("sheet.print", function () {
          window.print();
        }),
      ),
    );
    main.querySelector("h2").focus();
  }

  WY.whenReady(start);
  WY.observe = { record: record };
})();
