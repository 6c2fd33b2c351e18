// A typed number with its unit, read and shown by the same table and words as the command line (WY.units).
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  // As formula/typed.py reads them; tests/contract/typed.json holds the two together.
  // eslint-disable-next-line no-control-regex -- signs that would break the sentence in which an input is shown back
  var UNPRINTED = /[\u0000-\u001f\u007f-\u009f\u2028\u2029]/g;
  var HEAD = /^([-+]?) ?((?:[0-9]|[.,](?=[0-9]))(?:[0-9.,']| (?=[0-9]{3}(?![0-9])))*)([eE][-+]?[0-9]{1,4})?(?![0-9]) *(.*)$/;
  var FOREIGN = /^(?!1 ?\/ ?[A-Za-z])[-+]?[0-9]/;
  var POINT = /^[0-9]*\.?[0-9]*$/;
  var COMMA = /^[0-9]*,[0-9]*$/;
  // A comma before three digits: decimals for one reader, a thousand for the next.
  var TWO_WAYS = /^[1-9][0-9]{0,2},[0-9]{3}$/;
  var GROUPED = new RegExp(
    "^(?:[0-9]{1,3}(?:[ '][0-9]{3})+(?:[.,][0-9]+)?|[0-9]{1,3}(?:,[0-9]{3})+\\.[0-9]+|[0-9]{1,3}(?:,[0-9]{3}){2,}" +
      "|[0-9]{1,3}(?:\\.[0-9]{3})+,[0-9]+|[0-9]{1,3}(?:\\.[0-9]{3}){2,})$",
  );
  var SMALL = { "\u00b2": "2", "\u00b3": "3", "\u2082": "2" };
  var MOST_WORDS = 4;

  function fill(words, parts) {
    return words.replace(/\{(\w+)\}/g, function (whole, name) {
      return parts[name];
    });
  }

  function problem(word, parts) {
    return { problem: fill(WY.units.words[word], parts) };
  }

  function withUnit(text, unit) {
    return unit ? text + " " + unit : text;
  }

  // Returns {value} in `unit`, or {problem} whose sentence says what was not understood.
  function read(text, unit) {
    var table = WY.units;
    var example = withUnit("12.5", table.shown[unit]);
    var clean = cleaned(String(text));
    if (!clean) {
      return problem("empty", { example: example });
    }
    var shown = clean.slice(0, table.longest);
    var found = clean.length <= table.longest ? HEAD.exec(clean) : null;
    var name = found ? found[4].replace(/[ .,;]+$/, "") : "";
    var digitsRead = found && !FOREIGN.test(name) ? joined(found[2]) : null;
    if (!found || digitsRead === null) {
      return problem("no-number", { text: shown, example: example });
    }
    if (digitsRead.ways) {
      return problem("two-ways", Object.assign({ text: shown }, digitsRead.ways));
    }
    var value = Number(found[1] + digitsRead + (found[3] || ""));
    if (!isFinite(value)) {
      return problem("too-great", { text: shown, example: example });
    }
    return name ? inWanted(value, name, unit, shown, example) : { value: value };
  }

  function cleaned(text) {
    return text
      .replace(UNPRINTED, " ")
      .replace(/\u2212/g, "-")
      .replace(/[\u00a0\u202f\u2009]/g, " ")
      .replace(/[\u2019\u2032]/g, "'")
      .replace(/ +/g, " ")
      .replace(/^ | $/g, "");
  }

  // Digits with one point and nothing else between them; {ways} where they can mean two numbers, null for neither.
  function joined(text) {
    var body = text.replace(/[.,' ]+$/, "");
    if (TWO_WAYS.test(body)) {
      var point = body.replace(",", ".").replace(/0+$/, "").replace(/\.$/, "");
      return { ways: { point: point, whole: body.replace(",", "") } };
    }
    if (POINT.test(body)) {
      return body;
    }
    if (COMMA.test(body)) {
      return body.replace(",", ".");
    }
    if (!GROUPED.test(body)) {
      return null;
    }
    var signs = body.replace(/[0-9]/g, "");
    var last = signs.slice(-1);
    var decimals = ".,".indexOf(last) >= 0 && signs.split(last).length === 2 && signs.length > 1;
    var at = decimals ? body.lastIndexOf(last) : body.length;
    return body.slice(0, at).replace(/[^0-9]/g, "") + (decimals ? "." + body.slice(at + 1) : "");
  }

  function inWanted(value, name, unit, shown, example) {
    var table = WY.units;
    var quantity = table.quantityOf[unit];
    var spelling = spellingOf(name, quantity);
    if (own(table.ambiguous, spelling)) {
      return { problem: table.ambiguous[spelling] };
    }
    var units = table.units[quantity];
    if (own(units, spelling)) {
      return { value: spelling === unit ? value : turned(value, units[spelling], units[unit]) };
    }
    var known = Object.keys(units);
    var list = known.map(function (one) {
      return table.shown[one];
    }).filter(Boolean).join(", ");
    var near = known.filter(function (one) {
      return keyOf(one) && keyOf(one).toLowerCase() === keyOf(name).toLowerCase();
    })[0];
    if (near) {
      return problem("unit-case", { unit: name, near: table.shown[near] });
    }
    if (own(table.quantityOf, spelling)) {
      return problem("unit-other", {
        text: shown,
        given: table.names[table.quantityOf[spelling]],
        wanted: table.names[quantity],
        example: example,
        units: list,
      });
    }
    return problem("unit-unknown", { unit: name, example: example, units: list });
  }

  // The table's spelling of a unit as a person writes it, or the name as it is. Capitals are let pass where the quantity
  // has one such unit, but never an m for an M: a thousandfold apart.
  function spellingOf(name, quantity) {
    var table = WY.units;
    if (own(table.ambiguous, name)) {
      return name;
    }
    var key = keyOf(worded(name));
    if (own(table.keys, key)) {
      return table.keys[key];
    }
    if (own(table.ambiguous, key)) {
      return key;
    }
    var fits = {};
    Object.keys(table.keys).forEach(function (known) {
      var alike = known.charAt(0) === key.charAt(0) || "mM".indexOf(known.charAt(0)) < 0;
      if (known.toLowerCase() === key.toLowerCase() && alike && own(table.units[quantity], table.keys[known])) {
        fits[table.keys[known]] = true;
      }
    });
    return Object.keys(fits).length === 1 ? Object.keys(fits)[0] : name;
  }

  // What a spelling is known by: no spaces, dots and brackets, no raised digits, one stroke.
  function keyOf(text) {
    var plain = text
      .replace(/[\u00b2\u00b3\u2082]/g, function (sign) {
        return SMALL[sign];
      })
      .replace(/\u03a9/g, "ohm").replace(/\u00b0C/g, "degC").replace(/\u00b0F/g, "degF").replace(/\u00b0/g, "deg")
      .replace(/[ \u00b7*().^]/g, "");
    var at = plain.indexOf("/");
    if (at < 0) {
      return plain;
    }
    var above = plain.slice(0, at);
    return (above === "1" ? "" : above) + "/" + plain.slice(at + 1).replace(/\//g, "");
  }

  // A unit with each of its words turned into what stands for it: litres an hour becomes L/h.
  function worded(text) {
    var names = WY.units.named;
    var tokens = text.match(/[/\u00b7*()]|[^ \-/\u00b7*()]+/g) || [];
    var made = "";
    var at = 0;
    while (at < tokens.length) {
      var count = Math.min(MOST_WORDS, tokens.length - at);
      var word = "";
      for (; count > 0; count -= 1) {
        word = tokens.slice(at, at + count).join(" ");
        // A capital A is an ampere; "a" alone at either end is no "per".
        var inside = at > 0 && at + count < tokens.length;
        if (own(names, word.toLowerCase()) && word !== "A" && (word !== "a" || inside)) {
          break;
        }
      }
      made += count ? names[word.toLowerCase()] : tokens[at];
      at += count || 1;
    }
    return made;
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
