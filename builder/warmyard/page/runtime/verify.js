// Checks a card: the token in the address, the keys pinned in this page, and the dated status list beside it.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var sheet = WY.sheet;
  var element = WY.element;
  var say = WY.word;
  var TOKEN = { purpose: "warmyard-token-1\n", longest: 4000, fields: { v: 1, c: "", n: "", l: 1, t: "", a: [], f: "", u: "", i: 1, s: "", k: "" } };
  var LIST = { purpose: "warmyard-status-1\n", longest: 3000000, fields: { v: 1, d: "", e: "", s: [], w: [], n: 1, x: "", k: "" } };
  var DAY = /^\d{4}-\d{2}-\d{2}$/;
  var facts, main, pinned, list, listProblem;

  // A refusal is a word: unknown_key, altered, cannot.
  function refuse(word) {
    /** @type {any} */
    var problem = new Error(word);
    problem.word = word;
    throw problem;
  }

  // Public keys of the page -> {key id: CryptoKey}.
  async function pin(keys) {
    var found = {};
    for (var at = 0; at < keys.length; at += 1) {
      var raw = WY.seal.fromBase64(keys[at]);
      var id = sheet.hex(await WY.seal.digest(raw)).slice(0, 20);
      try {
        found[id] = await crypto.subtle.importKey("raw", raw, { name: "Ed25519" }, false, ["verify"]);
      } catch (problem) {
        refuse("cannot");
      }
    }
    return found;
  }

  // PAYLOAD.SIGNATURE -> its value, signed by a pinned key and with exactly the wanted fields; refuses otherwise.
  async function openSigned(text, form) {
    var parts = String(text).trim().split(".");
    var value, payload, signature;
    if (parts.length !== 2 || text.length > form.longest || !/^[A-Za-z0-9_.-]+$/.test(text.trim())) {
      refuse("altered");
    }
    try {
      payload = WY.seal.fromBase64(parts[0]);
      signature = WY.seal.fromBase64(parts[1]);
      value = JSON.parse(WY.seal.textOf(payload));
    } catch (problem) {
      refuse("altered");
    }
    if (value === null || typeof value !== "object" || typeof value.k !== "string") {
      refuse("altered");
    }
    if (!Object.prototype.hasOwnProperty.call(pinned, value.k)) {
      refuse("unknown_key");
    }
    var purpose = WY.seal.bytesOf(form.purpose);
    var signed = new Uint8Array(purpose.length + payload.length);
    signed.set(purpose);
    signed.set(payload, purpose.length);
    if (!(await crypto.subtle.verify({ name: "Ed25519" }, pinned[value.k], signature, signed)) || !hasFields(value, form.fields)) {
      refuse("altered");
    }
    return value;
  }

  function hasFields(value, fields) {
    var names = Object.keys(value);
    return (
      names.length === Object.keys(fields).length &&
      names.every(function (name) {
        var wanted = fields[name];
        if (Array.isArray(wanted)) {
          return Array.isArray(value[name]);
        }
        return typeof value[name] === typeof wanted && (typeof wanted !== "number" || Number.isInteger(value[name]));
      })
    );
  }

  // Takes a list if a pinned key signed it and it is not older than the one at hand: leave ends by its day too, without an entry.
  async function takeList(text) {
    var found = /["']([A-Za-z0-9_.-]+)["']/.exec(text);
    try {
      var made = await openSigned(found ? found[1] : text, LIST);
      if (!DAY.test(made.d) || !DAY.test(made.e)) {
        refuse("altered");
      }
      if (!list || made.n > list.n || (made.n === list.n && made.d >= list.d)) {
        list = made;
      }
      listProblem = "";
    } catch (problem) {
      listProblem = "list_" + (problem.word || "altered");
    }
  }

  // The verdict on a sound token: a bad word is believed from a stale list too, a good one is not.
  function judge(token, found, problem, day) {
    if (found && found.w.indexOf(token.i) >= 0) {
      return "withdrawn";
    }
    if (found && found.s.indexOf(token.i) >= 0) {
      return "suspended";
    }
    if (day > token.u) {
      return "expired";
    }
    if (day < token.f) {
      return "not_yet";
    }
    if (!found) {
      return problem || "no_list";
    }
    return day > found.e || day < found.d ? "stale" : "valid";
  }

  async function start() {
    WY.words = sheet.data("words");
    facts = sheet.data("verify");
    main = document.getElementById("wy-main");
    if (!WY.seal.ready()) {
      drawRefusal("cannot");
      return;
    }
    if (!facts.keys.length) {
      drawRefusal("no_key");
      return;
    }
    try {
      pinned = await pin(facts.keys);
    } catch (problem) {
      drawRefusal("cannot");
      return;
    }
    if (WY.status) {
      await takeList(WY.status);
    }
    window.addEventListener("hashchange", check);
    await check();
  }

  async function check() {
    var text = location.hash.replace(/^#/, "");
    if (!text) {
      drawAsk();
      return;
    }
    var token;
    try {
      token = await openSigned(text, TOKEN);
      if (!DAY.test(token.f) || !DAY.test(token.u)) {
        refuse("altered");
      }
    } catch (problem) {
      drawRefusal(problem.word || "altered");
      return;
    }
    drawCard(token, judge(token, list, listProblem, WY.today()));
  }

  function verdictBox(word, good, parts) {
    return element(
      "section",
      { class: "wy-verdict " + (good ? "wy-verdict-good" : "wy-verdict-bad"), role: "status" },
      element("h2", { tabindex: "-1" }, say("verify." + word)),
      element("p", {}, say("verify." + word + "_means", parts)),
      good ? null : element("p", { class: "wy-ring" }, say("verify.ring") + " ", element("a", { href: facts.dial }, facts.phone)),
    );
  }

  function drawRefusal(word) {
    sheet.show(main, verdictBox(word, false, {}), askBox());
    main.querySelector("h2").focus();
  }

  function drawAsk() {
    sheet.show(main, element("p", {}, say("verify.ask_intro")), askBox(), drawList());
  }

  function askBox() {
    var box = element("textarea", { rows: 4, id: "wy-token", spellcheck: "false", autocomplete: "off", maxlength: 5000 });
    return element(
      "form",
      {
        class: "wy-ask-card",
        onsubmit: function (event) {
          event.preventDefault();
          var text = box.value.trim();
          var at = text.indexOf("#");
          var wanted = "#" + (at >= 0 ? text.slice(at + 1) : text).replace(/\s+/g, "");
          if (wanted === location.hash) {
            check();
          } else {
            location.hash = wanted;
          }
        },
      },
      element("label", { for: "wy-token" }, say("verify.paste")),
      box,
      element("button", { type: "submit", class: "wy-button wy-button--main" }, say("verify.check")),
    );
  }

  function drawCard(token, verdict) {
    var rows = [
      ["name", token.n],
      ["level", token.l + " · " + token.t],
      ["activities", element("ul", {}, token.a.map(function (id) {
        return element("li", {}, facts.activities[id] || id);
      }))],
      ["from", token.f],
      ["until", token.u],
      ["certificate", token.c],
      ["scheme", token.s],
    ];
    var parts = { today: WY.today(), from: token.f, until: token.u, day: list ? list.d : "", end: list ? list.e : "" };
    sheet.show(
      main,
      verdictBox(verdict, verdict === "valid", parts),
      element("p", {}, say("verify.compare")),
      element("dl", { class: "wy-card-facts" }, rows.map(function (row) {
        return [element("dt", {}, say("verify." + row[0])), element("dd", {}, row[1])];
      })),
      element("p", { class: "wy-quiet" }, say("verify.clock", { today: WY.today() })),
      drawList(),
      element("h2", { class: "wy-screen" }, say("verify.another")),
      askBox(),
    );
    main.querySelector("h2").focus();
  }

  // Which list is at hand, and a way to bring a newer one by stick.
  function drawList() {
    var status = element("p", { role: "status", class: "wy-status" });
    var file = element("input", {
      type: "file",
      id: "wy-list",
      accept: ".js,.json,.txt",
      onchange: async function () {
        if (!file.files.length) {
          return;
        }
        await takeList(file.files[0].size > LIST.longest ? "" : await file.files[0].text());
        if (listProblem) {
          status.textContent = say("verify." + listProblem + "_means");
        } else {
          await check();
        }
      },
    });
    return element(
      "section",
      { class: "wy-list" },
      element("p", { class: "wy-quiet" }, list ? say("verify.list", { day: list.d, end: list.e, entry: list.n, witness: list.x }) : say("verify." + (listProblem || "no_list"))),
      element("label", { for: "wy-list" }, say("verify.newer")),
      file,
      status,
    );
  }

  WY.whenReady(start);
  WY.verify = { judge: judge };
})();
