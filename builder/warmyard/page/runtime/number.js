// A typed number with its unit, read and shown by the same table and words as the command line (WY.units).
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  var NUMBER = "[-+]?(?:[0-9]+(?:\\.[0-9]*)?|\\.[0-9]+)(?:[eE][-+]?[0-9]{1,4})?";
  var QUANTITY = new RegExp("^(" + NUMBER + ")\\s*([A-Za-z%\u00b0\u03a9/][^\\s,*]*(?: gal(?:/h)?)?|1/[A-Za-z]+)?$");
  // Signs that would break the sentence in which an input is shown back; formula/quantity.py has the same.
  // eslint-disable-next-line no-control-regex -- these are the signs that are looked for
  var UNPRINTED = /[\u0000-\u001f\u007f-\u009f\u2028\u2029]/g;
  var COMMA = /^([-+]?[0-9]+),([0-9]+)\s*(\S.*)?$/;

  function fill(words, parts) {
    return words.replace(/\{(\w+)\}/g, function (whole, name) {
      return parts[name];
    });
  }

  function problem(word, parts) {
    return { problem: fill(WY.units.words[word], parts) };
  }

  function withUnit(text, unit) {
    return unit === "1" ? text : text + " " + unit;
  }

  // Returns {value} in `unit`, or {problem} whose sentence says what would be right.
  function read(text, unit) {
    var table = WY.units;
    var quantity = table.quantityOf[unit];
    var example = withUnit("12.5", unit);
    var clean = String(text).replace(UNPRINTED, " ").replace(/\u2212/g, "-").replace(/[\u00a0\u202f]/g, " ").trim();
    if (!clean) {
      return problem("empty", { example: example });
    }
    var shown = clean.slice(0, table.longest);
    var comma = COMMA.exec(shown);
    if (comma) {
      return problem("comma", { text: shown, fixed: (comma[1] + "." + comma[2] + " " + (comma[3] || "")).trim() });
    }
    var found = clean.length <= table.longest ? QUANTITY.exec(clean) : null;
    if (!found) {
      return problem("not-a-number", { text: shown, example: example });
    }
    var value = Number(found[1]);
    if (!isFinite(value)) {
      return problem("too-large", { text: shown, example: example });
    }
    return found[2] ? inWanted(value, found[2], unit, quantity, shown, example) : { value: value };
  }

  function inWanted(value, typed, unit, quantity, shown, example) {
    var table = WY.units;
    var spelling = own(table.quantityOf, typed) ? typed : own(table.spelt, typed) ? table.spelt[typed] : typed;
    if (own(table.ambiguous, spelling)) {
      return { problem: table.ambiguous[spelling] };
    }
    var units = table.units[quantity];
    if (own(units, spelling)) {
      return { value: spelling === unit ? value : turned(value, units[spelling], units[unit]) };
    }
    var list = Object.keys(units);
    if (own(table.quantityOf, spelling)) {
      return problem("other-quantity", {
        text: shown,
        given: table.names[table.quantityOf[spelling]],
        wanted: table.names[quantity],
        example: example,
        units: list.join(", "),
      });
    }
    var near = list.filter(function (known) {
      return known.toLowerCase() === spelling.toLowerCase();
    })[0];
    if (near) {
      return problem("spelling", { unit: spelling, near: near, units: list.join(", ") });
    }
    return problem("no-unit", { unit: spelling, example: example, units: list.join(", ") });
  }

  function own(object, name) {
    return Object.prototype.hasOwnProperty.call(object, name);
  }

  // A unit is [factor, zero]: SI value = (value - zero) * factor.
  function turned(value, from, to) {
    return (value - from[1]) * (from[0] / to[0]) + to[1];
  }

  // Digits as Python writes them: of two that are equally near, the even one.
  function digits(value, decimals) {
    var text = value.toFixed(decimals);
    var exact = value.toFixed(Math.min(decimals + 30, 100));
    var kept = exact.indexOf(".") + 1 + decimals;
    var tie = /^50*$/.test(exact.slice(kept)) && /[13579]$/.test(text);
    return tie ? exact.slice(0, decimals ? kept : kept - 1) : text;
  }

  function fixed(value, decimals) {
    var text = digits(value, Math.max(decimals, 0));
    return /^-[0.]*$/.test(text) ? text.slice(1) : text;
  }

  // "12.5 bar", "20 °C", "10 %": fixed decimals and the unit as a reader sees it.
  function show(value, unit, decimals) {
    return (fixed(value, decimals) + " " + WY.units.shown[unit]).trim();
  }

  // A number without needless digits, as the command line writes it.
  function plain(value, figures) {
    var kept = figures || 10;
    if (value === 0) {
      return "0";
    }
    if (!isFinite(value)) {
      return WY.units.words.none;
    }
    var size = Math.abs(value);
    if (size >= 1e-4 && size < 1e15) {
      var decimals = Math.max(0, kept - 1 - Math.floor(Math.log10(size)));
      var text = digits(value, decimals);
      return text.indexOf(".") < 0 ? text : text.replace(/0+$/, "").replace(/\.$/, "");
    }
    var parts = value.toExponential(kept - 1).split("e");
    return parts[0].replace(/0+$/, "").replace(/\.$/, "") + "×10^" + Number(parts[1]);
  }

  WY.number = { read: read, show: show, plain: plain, fixed: fixed, fill: fill };
})();
