// What every step of a survey comes to, as course/survey.py works it out: nothing is rounded between the steps.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  function own(object, name) {
    return Object.prototype.hasOwnProperty.call(object, name);
  }

  // Where in a list something of a name stands.
  function at(list, name) {
    return list
      .map(function (one) {
        return one.name;
      })
      .indexOf(name);
  }

  function byName(list, name) {
    return list[at(list, name)];
  }

  // A unit is {unit, factor, zero}: SI value = (value - zero) * factor.
  function turned(value, from, to) {
    return from.unit === to.unit ? value : (value - from.zero) * (from.factor / to.factor) + to.zero;
  }

  function fromHead(plan, filled, input, need) {
    var ask = byName(plan.asks, input.name);
    var read = WY.number.read(own(filled.head, input.name) ? filled.head[input.name] : ask.start, ask.unit);
    return read.problem ? { waits: [{ kind: "head", name: input.name }] } : { value: turned(read.value, ask, need) };
  }

  function fromStep(plan, done, input, need) {
    var before = done[input.name];
    if (before.value === undefined) {
      return { waits: before.waits || [{ kind: "step", name: input.name }] };
    }
    return { value: turned(before.value, WY.formulas[byName(plan.steps, input.name).formula].facts.gives, need) };
  }

  // One input: {value} in the unit of its symbol, {waits}, {problem}, or neither for what the formula has by itself.
  function inputOf(plan, filled, done, step, input, need) {
    var key = step.name + "." + input.symbol;
    if (own(filled.hand, key)) {
      var read = WY.number.read(filled.hand[key], need.unit);
      return read.problem ? { problem: input.symbol + ": " + read.problem, hand: true } : { value: read.value, hand: true };
    }
    if (input.kind === "head") {
      return fromHead(plan, filled, input, need);
    }
    if (input.kind === "step") {
      return fromStep(plan, done, input, need);
    }
    if (input.kind === "usual") {
      return {};
    }
    var text = input.kind === "sheet" ? WY.fleet[filled.machine].fields[input.name].typed : input.text;
    return { value: WY.number.read(text, need.unit).value };
  }

  function once(waits) {
    var seen = {};
    return waits.filter(function (one) {
      var key = one.kind + " " + one.name;
      var first = !seen[key];
      seen[key] = true;
      return first;
    });
  }

  function resultOf(step, inputs) {
    var values = {};
    var waits = [];
    for (var number = 0; number < step.inputs.length; number += 1) {
      var symbol = step.inputs[number].symbol;
      var found = inputs[symbol];
      if (found.problem) {
        return { problem: found.problem, symbol: symbol };
      }
      waits = waits.concat(found.waits || []);
      if (found.value !== undefined) {
        values[symbol] = found.value;
      }
    }
    return waits.length ? { waits: once(waits) } : WY.formula.compute(step.formula, values);
  }

  // Takes {machine, head: name -> text, hand: "step.symbol" -> text}; what is not in `head` is as the survey begins.
  // Returns name of the step -> {value, unit, warn}, {problem} or {waits}, each with its `inputs` by symbol.
  function work(plan, filled) {
    var done = {};
    plan.steps.forEach(function (step) {
      var needs = WY.formulas[step.formula].facts.needs;
      var inputs = {};
      step.inputs.forEach(function (input, number) {
        inputs[input.symbol] = inputOf(plan, filled, done, step, input, needs[number]);
      });
      done[step.name] = Object.assign({ inputs: inputs }, resultOf(step, inputs));
    });
    return done;
  }

  WY.surveyWork = { at: at, work: work };
})();
