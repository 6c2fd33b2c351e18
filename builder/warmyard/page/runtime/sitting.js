// Asks one question of a paper: the same kinds as in practice, without key, without feedback on what is right.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  // What keeps a typed number from being read, in words: help with writing, never with the answer.
  function readingProblem(question, response) {
    if (response.text === undefined || !response.text.trim()) {
      return "";
    }
    return WY.number.read(response.text, question.unit).problem || "";
  }

  // Puts a question into a box. `changed` gets each new response, or null when the answer was taken back.
  function ask(box, question, response, changed) {
    var kind = WY.kinds[question.kind];
    var part = kind.control(Object.assign({ options: [] }, question), { paper: true });
    var help = WY.element("p", { class: "wy-status", role: "status" });
    var last = JSON.stringify(part.response());
    function look() {
      var now = part.response();
      var text = JSON.stringify(now);
      if (text !== last) {
        last = text;
        changed(kind.isBlank(now) ? null : now);
      }
    }
    if (response !== undefined) {
      part.restore(response);
      last = JSON.stringify(part.response());
    }
    ["input", "change", "click", "keyup"].forEach(function (event) {
      part.element.addEventListener(event, look);
    });
    part.element.addEventListener("change", function () {
      help.textContent = readingProblem(question, part.response());
    });
    WY.add(box, [
      question.ask.split(/\n+/).map(function (line) {
        return WY.element("p", { class: "wy-ask" }, line);
      }),
      part.element,
      help,
    ]);
    return part;
  }

  WY.sitting = { ask: ask };
})();
