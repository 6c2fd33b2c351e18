// What the reader finds on a machine: each field by its name, held against the sheet, kept on this device.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var SAME = 0.02; // a plate rounds: within two in a hundred of the sheet a value fits
  var PLAIN = "1";
  var NO_MACHINE = "no-machine";

  function fold(text) {
    return text.toLowerCase().replace(/[\s.,;:]+/g, " ").trim();
  }

  // What is to be said of a value: {word, parts, good}, or {problem} where it cannot be read.
  function judged(text, asked, sheet) {
    var parts = { value: text, machine: sheet ? sheet.name : "", sheet: sheet ? sheet.shown : "" };
    if (!asked.unit) {
      return inWords(text, sheet, parts);
    }
    var found = WY.number.read(text, asked.unit);
    if (found.problem) {
      return found;
    }
    parts.value = shown(found.value, asked.unit);
    if (found.value < asked.low || found.value > asked.high) {
      parts.low = WY.number.plain(asked.low);
      parts.high = shown(asked.high, asked.unit);
      return { word: "cannot-be", parts: parts, good: false };
    }
    if (!sheet) {
      return { word: "noted", parts: parts, good: null };
    }
    var wanted = WY.number.read(sheet.typed, asked.unit).value;
    var fits = Math.abs(found.value - wanted) <= SAME * Math.abs(wanted);
    return { word: fits ? "fits" : "differs", parts: parts, good: fits };
  }

  function inWords(text, sheet, parts) {
    var same = sheet !== null && fold(sheet.shown) === fold(text);
    return { word: !sheet ? "noted" : same ? "fits" : "same-words", parts: parts, good: same || null };
  }

  function shown(value, unit) {
    return (WY.number.plain(value, 6) + " " + (unit === PLAIN ? "" : WY.units.shown[unit])).trim();
  }

  function sheetOf(machine, field) {
    var one = WY.fleet[machine];
    var found = one && one.fields[field];
    return found ? { name: one.name, shown: found.shown, typed: found.typed } : null;
  }

  function own(input, name) {
    return input.getAttribute("data-wy-" + name);
  }

  // One row: what was found for the machine that is chosen, and what that says.
  function row(input, machine) {
    var says = input.closest(".wy-find").querySelector("[data-wy-find-says]");
    var field = own(input, "find");
    var asked = { unit: own(input, "unit"), low: Number(own(input, "low")), high: Number(own(input, "high")) };

    function key() {
      return "find:" + machine() + ":" + field;
    }

    function say() {
      var text = input.value.trim();
      input.removeAttribute("aria-invalid");
      says.className = "wy-fine";
      if (!text) {
        says.textContent = "";
        return;
      }
      var found = judged(text, asked, sheetOf(machine(), field));
      says.textContent = found.problem || WY.word("your-machine." + found.word, found.parts);
      says.classList.toggle("wy-find__good", found.good === true);
      says.classList.toggle("wy-find__bad", found.good === false || found.problem !== undefined);
      if (found.problem || found.good === false) {
        input.setAttribute("aria-invalid", "true");
      }
    }

    // The value in the learner's record, which goes to other devices; else as it was kept before there was a place for it.
    // What was kept before machines were told apart belongs to whichever is chosen first.
    function show() {
      var own = WY.record && (WY.record.load().own[machine() || NO_MACHINE] || {})[field];
      input.value = own ? own.value : WY.store.get(key()) || WY.store.get("find:" + field) || "";
      say();
    }

    input.addEventListener("change", function () {
      if (WY.record) {
        WY.record.ownValue(machine() || NO_MACHINE, field, input.value, "");
      } else {
        WY.store.set(key(), input.value);
      }
      say();
    });
    show();
    var photograph = photographs(input, key);
    return function () {
      show();
      photograph();
    };
  }

  // A row's photograph: taken, seen, taken again, removed.
  function photographs(input, key) {
    var name = input.closest(".wy-find").querySelector(".wy-find__name").textContent;
    var place = WY.element("div", { class: "wy-find__photograph" });
    var camera = WY.element("input", { type: "file", accept: "image/*", capture: "environment", hidden: true });
    camera.setAttribute("aria-label", WY.word("your-machine.photograph", { name: name }));
    var address = "";
    input.closest(".wy-find").append(place, camera);

    function show(blob) {
      URL.revokeObjectURL(address);
      address = blob ? URL.createObjectURL(blob) : "";
      var alt = WY.word("your-machine.photograph", { name: name });
      place.replaceChildren();
      WY.add(place, [
        blob ? WY.element("img", { src: address, alt: alt }) : null,
        WY.button(blob ? "your-machine.take-again" : "your-machine.take", function () {
          camera.click();
        }),
        blob
          ? WY.button("your-machine.drop", function () {
              WY.photographs.drop(key()).then(look, refuse);
            })
          : null,
        blob ? WY.element("span", { class: "wy-fine" }, WY.word("your-machine.stays")) : null,
      ]);
    }

    function refuse() {
      place.replaceChildren(WY.element("span", { class: "wy-fine" }, WY.word("your-machine.no-room")));
    }

    function look() {
      WY.photographs.find(key()).then(show, refuse);
    }

    camera.addEventListener("change", function () {
      if (camera.files.length) {
        WY.photographs.take(key(), camera.files[0]).then(show, refuse);
      }
      camera.value = "";
    });
    look();
    return look;
  }

  function start() {
    document.querySelectorAll("[data-wy-finds]").forEach(function (box) {
      /** @type {any} */
      var select = box.querySelector("[data-wy-find-machine]");
      var kept = WY.store.get("find-machine");
      if (kept === "" || Object.prototype.hasOwnProperty.call(WY.fleet, kept)) {
        select.value = kept;
      }
      select.parentNode.hidden = false;
      /** @type {any[]} */
      var rows = Array.prototype.map.call(box.querySelectorAll("[data-wy-find]"), function (input) {
        return row(input, function () {
          return select.value;
        });
      });
      select.addEventListener("change", function () {
        WY.store.set("find-machine", select.value);
        rows.forEach(function (show) {
          show();
        });
      });
    });
  }

  WY.whenReady(start);
})();
