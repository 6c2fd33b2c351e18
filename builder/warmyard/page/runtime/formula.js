// The value of a formula of the register (WY.formulas), with the same refusals and words as the command line.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  var NO_VALUE = { noValue: true };

  function real(value) {
    if (!isFinite(value)) {
      throw NO_VALUE;
    }
    return value;
  }

  // Whole things are counted after rounding to 9 decimals: 315/(45*0.7) is 10 heaters, not 11.
  function rounded(value) {
    return Math.floor(value * 1e9 + 0.5) / 1e9;
  }

  var F = {
    pi: Math.PI,
    zero_celsius: 0,
    divide: function (above, below) {
      if (below === 0) {
        throw NO_VALUE;
      }
      return above / below;
    },
    power: function (base, exponent) {
      return real(Math.pow(base, exponent));
    },
    sqrt: function (value) {
      return real(Math.sqrt(value));
    },
    exp: function (value) {
      return real(Math.exp(value));
    },
    ln: function (value) {
      return real(Math.log(value));
    },
    log10: function (value) {
      return real(Math.log10(value));
    },
    min: Math.min,
    max: Math.max,
    ceil: function (value) {
      return real(Math.ceil(rounded(value)));
    },
    floor: function (value) {
      return real(Math.floor(rounded(value)));
    },
    kelvin: function (celsius) {
      return celsius + 273.15;
    },
  };

  function words(name, parts) {
    return { problem: WY.number.fill(WY.formulaWords[name], parts) };
  }

  function names(facts) {
    return facts.needs
      .map(function (need) {
        return need.symbol;
      })
      .join(", ");
  }

  // Typed texts into numbers in the symbols' units: {values} or {problem}.
  function readAll(facts, texts) {
    var values = {};
    var typed = Object.keys(texts);
    for (var at = 0; at < typed.length; at += 1) {
      var symbol = typed[at];
      var need = facts.needs.filter(function (one) {
        return one.symbol === symbol;
      })[0];
      if (!need) {
        return words("unknown", { id: facts.id, symbol: symbol, symbols: names(facts) });
      }
      var found = WY.number.read(texts[symbol], need.unit);
      if (found.problem) {
        return { problem: symbol + ": " + found.problem, symbol: symbol };
      }
      values[symbol] = found.value;
    }
    return { values: values };
  }

  function shown(number, need) {
    return (WY.number.plain(number) + " " + need.shown).trim();
  }

  function outside(need, value) {
    var parts = { symbol: need.symbol, means: need.means, value: shown(value, need) };
    var how = "negative";
    if (need.bounded || need.point) {
      how = "range";
      parts.low = shown(need.low, need);
      parts.high = need.bounded ? shown(need.high, need) : WY.formulaWords["any-above"];
    }
    // `here` is for the box of the number itself, which needs neither symbol nor name.
    return Object.assign(words(how, parts), { symbol: need.symbol, here: words(how + "-here", parts).problem });
  }

  // Numbers in the symbols' units into SI with defaults filled: {si} or {problem}.
  function take(facts, values) {
    var si = {};
    for (var at = 0; at < facts.needs.length; at += 1) {
      var need = facts.needs[at];
      var value = Object.prototype.hasOwnProperty.call(values, need.symbol) ? values[need.symbol] : need.default;
      if (value === null || value === undefined) {
        return words("missing", {
          symbol: need.symbol,
          means: need.means,
          unit: need.shown || WY.formulaWords["plain-number"],
        });
      }
      var low = need.low === null ? -Infinity : need.low;
      var high = need.high === null ? Infinity : need.high;
      if (!(low <= value && value <= high) || (value < 0 && !need.free)) {
        return outside(need, value);
      }
      si[need.symbol] = (value - need.zero) * need.factor;
    }
    return { si: si };
  }

  function answer(form, si) {
    var facts = form.facts;
    var at;
    for (at = 0; at < form.refuse.length; at += 1) {
      if (form.refuse[at][0](si, F)) {
        return { problem: form.refuse[at][1] };
      }
    }
    for (at = 0; at < form.divides.length; at += 1) {
      if (!(real(form.divides[at][0](si, F)) > 0)) {
        return words("denominator", { id: facts.id, part: form.divides[at][1] });
      }
    }
    var value = real(real(form.relation(si, F)) / facts.gives.factor + facts.gives.zero);
    var warn = form.warn
      .filter(function (one) {
        return one[0](si, F);
      })
      .map(function (one) {
        return one[1];
      });
    return { value: value, unit: facts.gives.unit, warn: warn };
  }

  // For numbers in the symbols' units: {value, unit, warn} or {problem}.
  function compute(id, values) {
    var form = WY.formulas[id];
    var taken = take(form.facts, values);
    if (taken.problem) {
      return taken;
    }
    try {
      return answer(form, taken.si);
    } catch (thrown) {
      if (thrown !== NO_VALUE) {
        throw thrown;
      }
      return words("no-value", { id: id });
    }
  }

  // For texts as typed, symbol -> "12.5 bar": {value, unit, warn} or {problem}.
  function work(id, texts) {
    var read = readAll(WY.formulas[id].facts, texts);
    return read.problem ? read : compute(id, read.values);
  }

  WY.formula = { work: work, compute: compute, functions: F };
})();
