// "What next?" for the van: a symptom, what was seen, where you stand; the suspects and the next check. Nothing is kept.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var SHOWN = 6;
  var LEVELS = [1, 2, 3];
  var element = WY.element;

  function word(id, parts) {
    var text = WY.machine.texts.words["next-" + id] || "[next-" + id + "]";
    Object.keys(parts || {}).forEach(function (name) { text = text.replace("{" + name + "}", parts[name]); });
    return text;
  }

  function percent(share) {
    var whole = Math.round(share * 100);
    return share > 0 && whole === 0 ? "< 1 %" : whole + " %";
  }

  function chooser(label, options, chosen, changed) {
    var id = WY.newId();
    var select = element("select", { id: id, class: "wy-input" });
    options.forEach(function (option) {
      var made = element("option", { value: option.id }, option.name);
      made.selected = option.id === chosen;
      select.append(made);
    });
    select.addEventListener("change", function () { changed(select.value); });
    return element("div", { class: "wy-field" }, element("label", { for: id }, label), select);
  }

  function named(list) {
    return Object.keys(list).map(function (id) { return { id: id, name: list[id].name }; });
  }

  function start(box) {
    var texts = WY.machine.texts, model = WY.machine.model;
    var first = model.preconditions[0].id;
    var state = { symptom: "", seen: {}, contexts: [], standing: first, level: 3 };
    var past = [];

    function findings() {
      return Object.keys(state.seen).map(function (check) {
        return element("li", {}, texts.checks[check].name, ": ", texts.checks[check].outcomes[state.seen[check]]);
      });
    }

    function saw(check, outcome) {
      past.push({ seen: Object.assign({}, state.seen), standing: state.standing });
      state.seen[check] = outcome;
      state.standing = WY.diagnosis.standingAfter(model, state.symptom, state.standing, check);
      show(true);
    }

    function undo() {
      var before = past.pop();
      state.seen = before.seen;
      state.standing = before.standing;
      show(true);
    }

    function contexts() {
      var inside = Object.keys(texts.contexts).map(function (context) {
        var input = element("input", { type: "checkbox" });
        input.checked = state.contexts.indexOf(context) >= 0;
        input.addEventListener("change", function () {
          state.contexts = state.contexts.filter(function (one) { return one !== context; });
          if (input.checked) { state.contexts.push(context); }
          show();
        });
        return element("label", { class: "wy-option" }, input, element("span", {}, texts.contexts[context]));
      });
      var fold = element("details", { class: "wy-next-fold" }, element("summary", { class: "wy-next-summary" }, word("contexts")), inside);
      fold.open = open.contexts;
      fold.addEventListener("toggle", function () { open.contexts = fold.open; });
      return fold;
    }

    function outcomeButtons(check) {
      return Object.keys(texts.checks[check].outcomes).map(function (outcome) {
        return element(
          "button",
          { type: "button", class: "wy-button", onclick: function () { saw(check, outcome); } },
          texts.checks[check].outcomes[outcome]
        );
      });
    }

    function otherFinding() {
      var checks = named(texts.checks).filter(function (one) { return state.seen[one.id] === undefined; });
      var place = element("div", { class: "wy-next-outcomes" });
      var choose = chooser(word("other-check"), [{ id: "", name: word("choose") }].concat(checks), "", function (check) {
        place.replaceChildren();
        WY.add(place, check ? outcomeButtons(check) : []);
      });
      var fold = element("details", { class: "wy-next-fold" }, element("summary", { class: "wy-next-summary" }, word("other")), choose, place);
      return fold;
    }

    // People first: until the emergency has been dealt with there is nothing to puzzle over.
    function isUrgent() {
      var gate = state.symptom && texts.symptoms[state.symptom].emergency && model.symptoms[state.symptom].checksFrom;
      var stands = model.preconditions.find(function (one) { return one.id === state.standing; });
      return Boolean(gate) && stands.included.indexOf(gate) < 0;
    }

    function nextStep(step, suspects) {
      if (!suspects.length) { return element("p", { class: "wy-next-say" }, word("contradiction")); }
      if (step) {
        var check = texts.checks[step.check], places = model.checks.find(function (one) { return one.id === step.check; });
        return [
          step.clears ? element("p", { class: "wy-next-bar" }, texts.bars[step.clears]) : null,
          element("h4", {}, word("next"), " ", check.name, " (", word("minutes", { minutes: step.minutes }), ")"),
          element("p", {}, check.ask),
          element("p", {}, element("strong", {}, word("before"), " "), texts.preconditions[step.precondition].means),
          places.then
            ? element("p", {}, element("strong", {}, word("then"), " "), texts.preconditions[places.then].means)
            : null,
          element("p", {}, element("strong", {}, word("saw"))),
          element("div", { class: "wy-next-outcomes" }, outcomeButtons(step.check))
        ];
      }
      if (suspects[0].weight >= model.likelihoods.settled) {
        var mode = texts.modes[suspects[0].id];
        return [
          element("h4", {}, word("found"), " ", mode.name),
          mode.safety ? element("p", { class: "wy-next-bar" }, mode.safety) : null,
          element("p", {}, mode.remedy),
          element("p", {}, element("strong", {}, word("fit"), " "), mode.fit)
        ];
      }
      return element("p", { class: "wy-next-say" }, word("no-more"));
    }

    function suspectList(suspects) {
      if (!suspects.length) { return null; }
      var rows = suspects.slice(0, SHOWN).map(function (one) {
        var bar = element("meter", { min: 0, max: 1, value: one.weight, "aria-hidden": "true" });
        return element("li", {}, element("b", {}, percent(one.weight)), " ", one.name, bar);
      });
      var rest = suspects.slice(SHOWN).reduce(function (sum, one) { return sum + one.weight; }, 0);
      return [
        element("h4", {}, word("suspects")),
        element("ol", { class: "wy-next-suspects" }, rows),
        suspects.length > SHOWN
          ? element("p", {}, word("others", { count: suspects.length - SHOWN, share: percent(rest) }))
          : null,
        element("p", { class: "wy-small" }, word("demo"))
      ];
    }

    function answer() {
      if (!state.symptom) { return element("p", {}, word("choose-first")); }
      var caution = texts.symptoms[state.symptom].caution, any = Object.keys(state.seen).length;
      if (isUrgent()) {
        var gate = texts.preconditions[model.symptoms[state.symptom].checksFrom];
        return [
          element("p", { class: "wy-next-bar" }, caution),
          element("p", { class: "wy-next-say" }, word("emergency"), " ", gate.means)
        ];
      }
      var suspects = WY.diagnosis.suspects(model, state), step = WY.diagnosis.next(model, state);
      return [
        caution ? element("p", { class: "wy-next-bar" }, caution) : null,
        any || state.contexts.length ? null : element("p", {}, word("ask-first"), " ", opening()),
        nextStep(step, suspects),
        suspectList(suspects),
        any ? [element("h4", {}, word("findings")), element("ol", {}, findings())] : null,
        any ? element("button", { type: "button", class: "wy-button", onclick: undo }, word("undo")) : null
      ];
    }

    function opening() {
      return Object.keys(texts.checks)
        .filter(function (check) { return texts.checks[check].opens; })
        .map(function (check) { return texts.checks[check].ask; })
        .join(" ");
    }

    var open = { contexts: false };
    var form = element("div", { class: "wy-next-form" });
    var result = element("div", { class: "wy-next-answer", role: "region", "aria-live": "polite", tabindex: "-1" });
    result.setAttribute("aria-label", word("next"));

    function show(moved) {
      form.replaceChildren();
      WY.add(form, [
        chooser(word("symptom"), [{ id: "", name: word("choose") }].concat(named(texts.symptoms)), state.symptom, begin),
        chooser(word("standing"), named(texts.preconditions), state.standing, function (id) { state.standing = id; show(); }),
        chooser(
          word("level"),
          LEVELS.map(function (level) { return { id: String(level), name: String(level) }; }),
          String(state.level),
          function (level) { state.level = Number(level); show(); }
        ),
        contexts(),
        state.symptom && !isUrgent() ? otherFinding() : null
      ]);
      result.replaceChildren();
      WY.add(result, [answer()]);
      if (moved) { result.focus({ preventScroll: false }); }
    }

    function begin(symptom) {
      state = { symptom: symptom, seen: {}, contexts: [], standing: first, level: state.level };
      past = [];
      show();
    }

    box.replaceChildren(form, result);
    show();
  }

  if (globalThis.customElements && !customElements.get("wy-what-next")) {
    customElements.define(
      "wy-what-next",
      class extends HTMLElement {
        connectedCallback() {
          if (WY.machine && WY.diagnosis && !this.started) {
            this.started = true;
            start(this);
          }
        }
      }
    );
  }
})();
