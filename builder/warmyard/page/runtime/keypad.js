// Keys under a box of numbers for a finger: what a phone's number pad lacks (comma, minus, stroke, space), and units.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var ROWS = ["789/", "456-", "123,", "0. \u232b"];
  var MOST_UNITS = 4;
  var REST_MS = 1500;
  /** @type {any} */
  var resting = null;

  // Takes the input and the unit that is asked; returns {element, startAnew}, or null where no finger points. After
  // startAnew() the next number or sign replaces what stands in the box.
  WY.keypad = function (input, unit) {
    if (!WY.touches()) {
      return null;
    }
    var pad = WY.element("div", { class: "wy-keypad", role: "group", "aria-label": WY.word("practice.keys") });
    ROWS.forEach(function (row) {
      row.split("").forEach(function (sign) {
        pad.append(key(input, sign));
      });
    });
    var units = WY.element("div", { class: "wy-keypad__units" });
    unitsFor(unit).forEach(function (one) {
      units.append(
        press("wy-key wy-key--unit", WY.units.shown[one], WY.units.shown[one], function () {
          put(input, input.value.replace(/[^0-9.,'+\u2212 -]+.*$/, "").trim() + " " + WY.units.shown[one]);
        }),
      );
    });
    var box = WY.element("div", { class: "wy-keys" }, units, pad, ownKeyboard(input));
    input.setAttribute("inputmode", "none");
    input.addEventListener("input", function () {
      input.wyOld = false;
    });
    return {
      element: box,
      startAnew: function () {
        input.wyOld = true;
      },
    };
  };

  // The phone's own keyboard, for whoever would rather have it; the keys stay.
  function ownKeyboard(input) {
    return WY.button("practice.own_keyboard", function () {
      input.setAttribute("inputmode", "text");
      input.blur();
      input.focus();
    }, { class: "wy-button wy-button--quiet" });
  }

  // The unit that is asked first, then others of its quantity.
  function unitsFor(unit) {
    if (!WY.units.shown[unit]) {
      return [];
    }
    var known = WY.units.units[WY.units.quantityOf[unit]] || {};
    return [unit]
      .concat(
        Object.keys(known).filter(function (one) {
          return one !== unit;
        }),
      )
      .filter(function (one) {
        return WY.units.shown[one];
      })
      .slice(0, MOST_UNITS);
  }

  function key(input, sign) {
    if (sign === "\u232b") {
      return press("wy-key", sign, WY.word("practice.key_back"), function () {
        put(input, input.value.slice(0, -1));
      });
    }
    var name = sign === " " ? WY.word("practice.key_space") : sign;
    return press("wy-key", sign === " " ? "\u2423" : sign, name, function () {
      put(input, (input.wyOld ? "" : input.value) + sign);
    });
  }

  function press(look, text, name, act) {
    return WY.element("button", { type: "button", class: look, "aria-label": name, onclick: act }, text);
  }

  function put(input, text) {
    if (input.readOnly || text.length > input.maxLength) {
      return;
    }
    input.value = text;
    input.dispatchEvent(new Event("input", { bubbles: true }));
    // What is half written is no answer yet: it has changed when the keys rest.
    clearTimeout(resting);
    resting = setTimeout(function () {
      input.dispatchEvent(new Event("change", { bubbles: true }));
    }, REST_MS);
  }
})();
