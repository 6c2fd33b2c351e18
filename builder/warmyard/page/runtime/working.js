// The worked steps of a formula with the numbers of the moment put in, as formula/printed.py writes them.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var RESULT_FIGURES = 5;
  var FINAL_FIGURES = 3;
  var finalFigures = FINAL_FIGURES;

  // In full when it is short, else to a few figures that count; formula/quantity.py has the same.
  function short(value) {
    var full = WY.number.plain(value);
    return full.replace(/[^0-9]/g, "").length <= RESULT_FIGURES + 2 ? full : rounded(value);
  }

  function rounded(value) {
    return WY.number.plain(value, RESULT_FIGURES);
  }

  // A result as a person writes it; in full where its caller hands it on.
  function final(value) {
    return WY.number.plain(value, finalFigures);
  }

  // Digits raised by themselves, as formula/printed.py writes them: they hold without a font for mathematics.
  function raised(power) {
    return power.replace(/[-0-9]/g, function (sign) {
      return "⁻⁰¹²³⁴⁵⁶⁷⁸⁹"["-0123456789".indexOf(sign)];
    });
  }

  function number(value, unit, write) {
    var parts = write(Math.abs(value)).split("×10^");
    var body = "<mn>" + parts[0] + "</mn>";
    if (parts[1]) {
      body = "<mrow>" + body + "<mo>×</mo><mn>10" + raised(parts[1]) + "</mn></mrow>";
    }
    if (unit) {
      body = "<mrow>" + body + '<mspace width="0.2em"/><mtext>' + unit + "</mtext></mrow>";
    }
    if (value >= 0) {
      return body;
    }
    return write === rounded || write === final
      ? "<mrow><mo>−</mo>" + body + "</mrow>"
      : "<mrow><mo>(</mo><mo>−</mo>" + body + "<mo>)</mo></mrow>";
  }

  function near(one, other) {
    return Math.abs(one - other) <= Math.max(1e-9 * Math.max(Math.abs(one), Math.abs(other)), 1e-12);
  }

  // Whether the bare numbers, keyed in as they stand, come to the result.
  function computes(form, quantities, result) {
    var bare = {};
    Object.keys(quantities).forEach(function (name) {
      bare[name] = quantities[name].value;
    });
    try {
      return near(form.relation(bare, WY.formula.functions), result);
    } catch (thrown) {
      if (!thrown.noValue) {
        throw thrown;
      }
      return false;
    }
  }

  // The inputs as given, with shares as decimals, and in SI: each symbol -> {value, unit, shown}.
  function waysToWrite(form, working, values) {
    var ways = { given: {}, decimals: {}, si: {}, bare: {} };
    form.facts.needs.forEach(function (need) {
      var units = working.facts.needs[need.symbol];
      var value = values[need.symbol] === undefined ? need.default : values[need.symbol];
      var given = { value: value, unit: need.unit, shown: units.shown };
      ways.given[need.symbol] = given;
      ways.decimals[need.symbol] = units.share ? { value: value * need.factor, unit: "1", shown: "" } : given;
      ways.si[need.symbol] = { value: (value - need.zero) * need.factor, unit: units.si, shown: units.siShown };
      ways.bare[need.symbol] = ways.si[need.symbol].value;
    });
    return ways;
  }

  function differ(some, others) {
    return Object.keys(some).some(function (name) {
      return some[name].unit !== others[name].unit || some[name].value !== others[name].value;
    });
  }

  // What the lines show, in their order: quantities put in, then what was reached on the way.
  function planned(form, working, ways, result) {
    var gives = form.facts.gives;
    var si = working.facts.gives;
    var inSi = (result - gives.zero) * gives.factor;
    var put = [ways.given];
    if (computes(form, ways.given, result)) {
      return { put: put, reached: [] };
    }
    if (computes(form, ways.decimals, result)) {
      return { put: put.concat([ways.decimals]), reached: [] };
    }
    if (differ(ways.si, ways.given) && !(si.si === "1" && computes(form, ways.given, inSi))) {
      put.push(ways.si);
    }
    return { put: put, reached: si.si === gives.unit ? [] : [{ value: inSi, shown: si.siShown }] };
  }

  function filled(frame, quantities) {
    var parts = {};
    Object.keys(quantities).forEach(function (name) {
      parts[name] = number(quantities[name].value, quantities[name].shown, short);
    });
    return WY.number.fill(frame, parts);
  }

  // The lines as HTML for inputs in the symbols' units, which the formula has accepted, and their result.
  function lines(id, values, result, handedOn) {
    finalFigures = handedOn ? RESULT_FIGURES : FINAL_FIGURES;
    var form = WY.formulas[id];
    var working = WY.workings[id];
    var frames = working.facts.frames;
    var ways = waysToWrite(form, working, values);
    var plan = planned(form, working, ways, result);
    var made = [form.facts.printed].concat(
      plan.put.map(function (quantities) {
        return filled(frames.put, quantities);
      }),
    );
    if (frames.rounded) {
      var inner = working.inner(ways.bare, WY.formula.functions);
      made.push(WY.number.fill(frames.rounded, { inner: number(inner, "", rounded) }));
    } else {
      plan.reached.forEach(function (one) {
        made.push(WY.number.fill(frames.reached, { result: number(one.value, one.shown, rounded) }));
      });
    }
    made.push(WY.number.fill(frames.reached, { result: number(result, working.facts.gives.shown, final) }));
    return made;
  }

  WY.working = { lines: lines };
})();
