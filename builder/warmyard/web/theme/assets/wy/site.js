/* What a page of the site does besides its problems: calculators, values found on the reader's own machine, printing. */
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  function each(selector, act) { Array.prototype.forEach.call(document.querySelectorAll(selector), act); }

  function say(place, text, kind) {
    place.textContent = text;
    place.className = "wy-calculator__result" + (kind ? " wy-calculator__result--" + kind : "");
  }

  /* Three figures that count; whole numbers stay whole. */
  function decimals(value) {
    if (value === 0 || value === Math.round(value)) { return 0; }
    return Math.max(0, 2 - Math.floor(Math.log10(Math.abs(value))));
  }

  /* A calculator: the same reading, refusals and words as the command line. */
  function calculator(block) {
    var form = block.querySelector("form");
    var result = block.querySelector(".wy-calculator__result");
    var asked = false;

    function inputs() { return Array.prototype.slice.call(form.querySelectorAll("input")); }

    function work() {
      var typed = {};
      inputs().forEach(function (input) {
        input.removeAttribute("aria-invalid");
        if (input.value.trim() !== "") { typed[input.name] = input.value; }
      });
      var worked = WY.formula.work(block.getAttribute("data-wy-formula"), typed);
      if (worked.problem) {
        say(result, worked.problem, "bad");
        inputs().forEach(function (input) { if (input.name === worked.symbol) { input.setAttribute("aria-invalid", "true"); } });
        return;
      }
      var answer = block.getAttribute("data-wy-gives") + ": " + WY.number.show(worked.value, worked.unit, decimals(worked.value));
      say(result, [answer].concat(worked.warn).join(". "), worked.warn.length ? "warn" : "good");
    }

    form.addEventListener("submit", function (event) { event.preventDefault(); asked = true; work(); });
    form.addEventListener("input", function () { if (asked) { work(); } });
  }

  /* When a service is due: dates as text, numbers by the same reader as every calculator. */
  var SERVICE_UNITS = { interval_h: "h", interval_months: "1", used_h: "h", per_day: "h/day" };
  function serviceDue(block) {
    var form = block.querySelector("form");
    var result = block.querySelector(".wy-calculator__result");
    var asked = false;

    function work() {
      var given = { used_h: 0 };
      /** @type {any} */
      var refused = null;
      Array.prototype.forEach.call(form.querySelectorAll("input"), function (input) {
        var unit = SERVICE_UNITS[input.name];
        var text = input.value.trim();
        input.removeAttribute("aria-invalid");
        if (text === "" && (input.name === "used_h" || input.name === "read_on")) { return; }
        var number = unit ? WY.number.read(text, unit) : { value: text };
        if (number.problem && !refused) { refused = { input: input, say: number.problem }; }
        given[input.name] = number.value;
      });
      var due = refused ? null : WY.planning.serviceDue(given);
      if (due && due.problem) { refused = { input: form.querySelector("[name=" + due.symbol + "]"), say: WY.word(due.problem) }; }
      if (refused) {
        refused.input.setAttribute("aria-invalid", "true");
        say(result, refused.say, "bad");
        return;
      }
      say(result, WY.word("plan.due-by-" + due.by, { on: due.on, hours: due.by_hours || "-", calendar: due.by_calendar }), "good");
    }

    form.addEventListener("submit", function (event) { event.preventDefault(); asked = true; work(); });
    form.addEventListener("input", function () { if (asked) { work(); } });
  }

  /* On a telephone one machine's data sheet stands at a time; the address may name the machine. */
  function sheets(choice) {
    var select = choice.querySelector("select");
    /** @type {any} */
    var table = document.querySelector(".wy-sheets");
    var narrow = window.matchMedia("(max-width: 59.9em)");
    function show() {
      var only = narrow.matches ? select.value : "";
      choice.hidden = !narrow.matches;
      table.classList.toggle("wy-sheets--all", only === "");
      Array.prototype.forEach.call(table.rows, function (row) {
        Array.prototype.forEach.call(row.cells, function (cell, at) { cell.hidden = at > 0 && only !== "" && String(at) !== only; });
      });
    }
    function follow() {
      /** @type {any} */
      var named = document.getElementById(location.hash.slice(1));
      if (named && named.tagName === "TH") { select.value = String(named.cellIndex); }
      show();
    }
    narrow.addEventListener("change", show);
    select.addEventListener("change", show);
    window.addEventListener("hashchange", follow);
    follow();
  }

  function start() {
    each(".wy-calculator[data-wy-formula]", calculator);
    each("[data-wy-service-due]", serviceDue);
    each("[data-wy-sheets]", sheets);
    each("[data-wy-print-buttons]", function (row) { row.hidden = false; });
    each("[data-wy-print]", function (button) {
      button.addEventListener("click", function () {
        ["a4", "carry"].forEach(function (how) {
          document.documentElement.classList.toggle("wy-print-" + how, button.getAttribute("data-wy-print") === how);
        });
        window.print();
      });
    });
  }

  if (document.readyState === "loading") { document.addEventListener("DOMContentLoaded", start); } else { start(); }
})();
