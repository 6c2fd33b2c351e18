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

  function named(list) {
    return Object.keys(list).map(function (id) { return { id: id, name: list[id].name }; });
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

  function fold(title, inside) {
    return element("details", { class: "wy-next-fold" }, element("summary", { class: "wy-next-summary" }, title), inside);
  }

  // People first: until the emergency has been dealt with there is nothing to puzzle over.
  function isUrgent(state) {
    var texts = WY.machine.texts, model = WY.machine.model;
    var gate = state.symptom && texts.symptoms[state.symptom].emergency && model.symptoms[state.symptom].checksFrom;
    var stands = model.preconditions.find(function (one) { return one.id === state.standing; });
    return Boolean(gate) && stands.included.indexOf(gate) < 0;
  }

  function opening() {
    var checks = WY.machine.texts.checks;
    return Object.keys(checks)
      .filter(function (check) { return checks[check].opens; })
      .map(function (check) { return checks[check].ask; })
      .join(" ");
  }

  // The outcomes of a check as buttons; saw is told the check and what was seen.
  function outcomeButtons(check, saw) {
    var outcomes = WY.machine.texts.checks[check].outcomes;
    return Object.keys(outcomes).map(function (outcome) {
      return element(
        "button",
        { type: "button", class: "wy-button", onclick: function () { saw(check, outcome); } },
        outcomes[outcome]
      );
    });
  }

  function otherFinding(seen, saw) {
    var texts = WY.machine.texts;
    var checks = named(texts.checks).filter(function (one) { return seen[one.id] === undefined; });
    var place = element("div", { class: "wy-next-outcomes" });
    var choose = chooser(word("other-check"), [{ id: "", name: word("choose") }].concat(checks), "", function (check) {
      place.replaceChildren();
      WY.add(place, check ? outcomeButtons(check, saw) : []);
    });
    return fold(word("other"), [choose, place]);
  }

  function checkToMake(step, saw) {
    var texts = WY.machine.texts, check = texts.checks[step.check];
    var then = WY.machine.model.checks.find(function (one) { return one.id === step.check; }).then;
    return [
      step.clears ? element("p", { class: "wy-next-bar" }, texts.bars[step.clears]) : null,
      element("h4", {}, word("next"), " ", check.name, " (", word("minutes", { minutes: step.minutes }), ")"),
      element("p", {}, check.ask),
      element("p", {}, element("strong", {}, word("before"), " "), texts.preconditions[step.precondition].means),
      then ? element("p", {}, element("strong", {}, word("then"), " "), texts.preconditions[then].means) : null,
      element("p", {}, element("strong", {}, word("saw"))),
      element("div", { class: "wy-next-outcomes" }, outcomeButtons(step.check, saw))
    ];
  }

  function causeFound(id) {
    var mode = WY.machine.texts.modes[id];
    return [
      element("h4", {}, word("found"), " ", mode.name),
      mode.safety ? element("p", { class: "wy-next-bar" }, mode.safety) : null,
      element("p", {}, mode.remedy),
      element("p", {}, element("strong", {}, word("fit"), " "), mode.fit)
    ];
  }

  // Two unusual findings that no fault shows together contradict each other; one alone is merely unknown to us.
  function nothingLeft(state) {
    var unusual = WY.machine.model.checks.filter(function (check) {
      return state.seen[check.id] !== undefined && state.seen[check.id] !== check.normal;
    });
    return word(unusual.length > 1 ? "contradiction" : "unexplained");
  }

  function nextStep(step, suspects, state, saw) {
    if (step && suspects.length) { return checkToMake(step, saw); }
    if (suspects.length && suspects[0].weight >= WY.machine.model.likelihoods.settled) {
      if (WY.diagnosis.isShown(WY.machine.model, state, suspects[0].id)) { return causeFound(suspects[0].id); }
      return element("p", { class: "wy-next-say" }, word("left-over"));
    }
    return element("p", { class: "wy-next-say" }, suspects.length ? word("no-more") : nothingLeft(state));
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

  function emergency(symptom) {
    var texts = WY.machine.texts;
    var gate = texts.preconditions[WY.machine.model.symptoms[symptom].checksFrom];
    return [
      element("p", { class: "wy-next-bar" }, texts.symptoms[symptom].caution),
      element("p", { class: "wy-next-say" }, word("emergency"), " ", gate.means)
    ];
  }

  function findings(seen) {
    var checks = WY.machine.texts.checks;
    var rows = Object.keys(seen).map(function (check) {
      return element("li", {}, checks[check].name, ": ", checks[check].outcomes[seen[check]]);
    });
    return [element("h4", {}, word("findings")), element("ol", {}, rows)];
  }

  // One search for a cause: the form above, the answer below, and every finding with what stood before it.
  function start(box) {
    var model = WY.machine.model;
    var state = { symptom: "", seen: {}, contexts: [], standing: model.preconditions[0].id, level: LEVELS[0] };
    var past = [];
    var contextsOpen = false;
    var form = element("div", { class: "wy-next-form" });
    var result = element("div", { class: "wy-next-answer", role: "region", "aria-live": "polite", tabindex: "-1" });
    result.setAttribute("aria-label", word("next"));

    function begin(symptom) {
      state = { symptom: symptom, seen: {}, contexts: [], standing: model.preconditions[0].id, level: state.level };
      past = [];
      show();
    }

    function saw(check, outcome) {
      past.push({ seen: Object.assign({}, state.seen), standing: state.standing });
      state.seen[check] = outcome;
      state.standing = WY.diagnosis.standingAfter(model, state.symptom, state.standing, check);
      show();
      result.focus({ preventScroll: false });
    }

    function undo() {
      Object.assign(state, past.pop());
      show();
      result.focus({ preventScroll: false });
    }

    function set(changed) {
      Object.assign(state, changed);
      show();
    }

    function show() {
      var folded = contextFold(state.contexts, contextsOpen, set);
      folded.addEventListener("toggle", function () { contextsOpen = folded.open; });
      form.replaceChildren();
      WY.add(form, [choosers(state, begin, set), folded, state.symptom && !isUrgent(state) ? otherFinding(state.seen, saw) : null]);
      result.replaceChildren();
      WY.add(result, [answer(state, saw, undo)]);
    }

    box.replaceChildren(form, result);
    show();
  }

  function choosers(state, begin, set) {
    var texts = WY.machine.texts;
    var levels = LEVELS.map(function (level) { return { id: String(level), name: String(level) }; });
    return [
      chooser(word("symptom"), [{ id: "", name: word("choose") }].concat(named(texts.symptoms)), state.symptom, begin),
      chooser(word("standing"), named(texts.preconditions), state.standing, function (id) { set({ standing: id }); }),
      chooser(word("level"), levels, String(state.level), function (level) { set({ level: Number(level) }); })
    ];
  }

  function contextFold(chosen, isOpen, set) {
    var contexts = WY.machine.texts.contexts;
    var inside = Object.keys(contexts).map(function (context) {
      var input = element("input", { type: "checkbox" });
      input.checked = chosen.indexOf(context) >= 0;
      input.addEventListener("change", function () {
        var others = chosen.filter(function (one) { return one !== context; });
        set({ contexts: input.checked ? others.concat([context]) : others });
      });
      return element("label", { class: "wy-option" }, input, element("span", {}, contexts[context]));
    });
    var made = fold(word("contexts"), inside);
    made.open = isOpen;
    return made;
  }

  function answer(state, saw, undo) {
    if (!state.symptom) { return element("p", {}, word("choose-first")); }
    if (isUrgent(state)) { return emergency(state.symptom); }
    var model = WY.machine.model, any = Object.keys(state.seen).length;
    var caution = WY.machine.texts.symptoms[state.symptom].caution;
    var suspects = WY.diagnosis.suspects(model, state), step = WY.diagnosis.next(model, state);
    return [
      caution ? element("p", { class: "wy-next-bar" }, caution) : null,
      any || state.contexts.length ? null : element("p", {}, word("ask-first"), " ", opening()),
      nextStep(step, suspects, state, saw),
      suspectList(suspects),
      any ? findings(state.seen) : null,
      any ? element("button", { type: "button", class: "wy-button", onclick: undo }, word("undo")) : null
    ];
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
