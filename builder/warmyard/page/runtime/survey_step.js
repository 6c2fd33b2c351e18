// One step of a survey: its result, its inputs with where each comes from, boxes to write over them, and its working.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var LOOKS = ["good", "warn", "bad", "waits"];

  // What a step waits for: what is asked in the head, or the step that refuses, whose title is left out on paper.
  function waitsFor(plan, waits) {
    var named = waits.map(function (one, number) {
      var comma = number ? "; " : "";
      if (one.kind === "head") {
        return [comma, plan.asks[WY.surveyWork.at(plan.asks, one.name)].means];
      }
      var at = WY.surveyWork.at(plan.steps, one.name);
      var title = WY.element("span", { class: "wy-survey__which" }, ", ", plan.steps[at].title);
      return [comma, WY.word("survey.from-step", { number: at + 1 }), title];
    });
    return [WY.word("survey.waits"), " ", named];
  }

  // Where an input comes from when nobody wrote over it.
  function from(plan, input) {
    if (input.kind === "step") {
      return WY.word("survey.from-step", { number: WY.surveyWork.at(plan.steps, input.name) + 1 });
    }
    if (input.kind === "sheet") {
      return WY.word("survey.from-machine", { machine: WY.fleet[WY.fleetChoice.machine()].name });
    }
    return input.from || WY.word("survey.from-" + input.kind);
  }

  // What a step says: its value, the refusal in the formula's own words, or what it waits for; and how that looks.
  function said(plan, result) {
    if (result.problem) {
      return { look: "bad", text: result.problem, more: "" };
    }
    if (result.waits) {
      return { look: "waits", text: waitsFor(plan, result.waits), more: "" };
    }
    var look = result.warn.length ? "warn" : "good";
    return { look: look, text: WY.survey.shown(result.value, result.unit), more: result.warn.join(" ") };
  }

  // The number of each input that is there, with those that the formula has by itself.
  function numbersOf(row, result) {
    var values = {};
    row.inputs.forEach(function (one) {
      var value = result.inputs[one.input.symbol].value;
      values[one.input.symbol] = value === undefined && one.input.kind === "usual" ? one.need.default : value;
    });
    return values;
  }

  // A box to write over an input; emptied, it is what it was.
  function makeBox(row, one) {
    one.box = WY.element("input", { id: WY.newId(), type: "text", autocomplete: "off" });
    one.box.addEventListener("input", function () {
      row.hand(one.key, one.box.value.trim() === "" ? null : one.box.value);
    });
    one.box.addEventListener("blur", function () {
      one.box.value = one.box.value.trim() === "" ? one.text : one.box.value;
    });
    var unit = one.need.shown ? WY.element("span", { class: "wy-calculator__unit" }, one.need.shown) : null;
    return WY.element(
      "p",
      { class: "wy-calculator__row" },
      WY.element("label", { for: one.box.id }, one.need.means),
      WY.element("span", { class: "wy-calculator__box" }, one.box, unit),
    );
  }

  // One line of what goes in: its value, and where it comes from or that it was written by hand.
  function line(row, one, found, number) {
    var value = number === undefined ? "–" : (WY.number.plain(number, 4) + "\u00a0" + one.need.shown).trim();
    var source = found.hand ? WY.fleetChoice.byHand(one.need.means, putBack) : from(row.plan, one.input);

    function putBack() {
      row.hand(one.key, null);
      row.find("summary").focus();
    }

    return WY.element(
      "li",
      { class: "wy-survey__input" + (found.hand ? " wy-survey__input--hand" : "") },
      one.need.means + ": ",
      WY.element("b", {}, value),
      " ",
      WY.element("span", { class: "wy-from" }, source),
    );
  }

  function showBox(row, one, result, number) {
    var text = row.hand(one.key);
    one.text = text !== undefined ? text : number === undefined ? "" : WY.number.plain(number, 5);
    if (document.activeElement !== one.box) {
      one.box.value = one.text;
    }
    one.box.setAttribute("aria-invalid", String(result.symbol === one.input.symbol));
  }

  function workingOf(row, result, values) {
    var id = row.step.formula;
    return result.value === undefined ? [WY.formulas[id].facts.printed] : WY.working.lines(id, values, result.value, true);
  }

  function show(row, result) {
    var says = said(row.plan, result);
    var values = numbersOf(row, result);
    var output = row.find(".wy-survey__output");
    output.replaceChildren();
    WY.add(output, [says.text]);
    row.find(".wy-survey__warning").textContent = says.more;
    LOOKS.forEach(function (look) {
      row.place.classList.toggle("wy-survey__step--" + look, look === says.look);
    });
    put(row.find(".wy-survey__inputs"), row.inputs, function (one) {
      showBox(row, one, result, values[one.input.symbol]);
      return line(row, one, result.inputs[one.input.symbol], values[one.input.symbol]);
    });
    put(row.find(".wy-survey__working"), workingOf(row, result, values), function (html) {
      return WY.builtHtml("li", {}, html);
    });
  }

  // What stands there already stays: a button that is being pressed must not be taken away under the finger.
  function put(list, all, make) {
    var made = WY.element("div", {}, all.map(make));
    if (made.innerHTML !== list.innerHTML) {
      list.replaceChildren.apply(list, Array.prototype.slice.call(made.childNodes));
    }
  }

  // `hand(key)` reads what was written over an input, `hand(key, text)` writes it, and null puts it back.
  WY.surveyStep = function (plan, step, place, hand) {
    var needs = WY.formulas[step.formula].facts.needs;
    /** @type {any} */
    var row = { plan: plan, step: step, place: place, hand: hand };
    row.find = function (selector) {
      return place.querySelector(selector);
    };
    row.inputs = step.inputs.map(function (input, at) {
      return { input: input, need: needs[at], key: step.name + "." + input.symbol };
    });
    put(row.find(".wy-survey__boxes"), row.inputs, function (one) {
      return makeBox(row, one);
    });
    row.find("details").open = false;
    return {
      show: function (result) {
        show(row, result);
      },
    };
  };
})();
