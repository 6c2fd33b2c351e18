// The record page: where each skill stands goes to another device as a QR picture, is read back from a picture or a
// typed text, and everything can be erased, saved first and asked once more. QR scripts are fetched when they are wanted.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var WIDEST = 1600; // a photograph is read at most so many dots wide: more is slow and no better

  function fetched(root, script) {
    return WY.loadOnce(root.getAttribute("data-wy-scripts") + script);
  }

  function skills(record) {
    return Object.keys(WY.plan.skills).filter(function (skill) {
      return WY.recall.stateOf(record, skill);
    });
  }

  function Moving(root) {
    this.root = root;
    this.picture = WY.element("div", { class: "wy-move__picture" });
    this.status = WY.element("p", { class: "wy-status", role: "status" });
    WY.add(root, [this.giving(), this.taking(), this.status, this.erasing()]);
  }

  Moving.prototype.giving = function () {
    var own = this;
    return WY.element(
      "section",
      {},
      WY.element("h2", {}, WY.word("move.give")),
      WY.element("p", {}, WY.word("move.give_how")),
      WY.button("move.show", function () {
        own.show().catch(function () {
          own.say("move.missing");
        });
      }),
      this.picture,
    );
  };

  Moving.prototype.say = function (word, parts) {
    this.status.textContent = WY.word(word, parts);
  };

  // The picture is dark on white in every scheme: a reader of pictures knows nothing of schemes.
  Moving.prototype.show = async function () {
    var record = WY.record.load();
    var made = WY.movedStates.told(record, skills(record), Date.now());
    if (!made.count) {
      this.say("move.nothing");
      return;
    }
    if (!WY.qrCode) {
      await fetched(this.root, "qr-make.js");
    }
    var code = WY.qrCode(0, "L");
    code.addData(made.text, "Alphanumeric");
    code.make();
    var image = WY.element("img", { src: code.createDataURL(4, 16), alt: WY.word("move.picture") });
    this.picture.replaceChildren();
    WY.add(this.picture, [
      image,
      WY.element("p", {}, WY.word(made.left ? "move.holds_some" : "move.holds", { count: made.count, left: made.left })),
      WY.element("details", { class: "wy-fold" }, WY.element("summary", {}, WY.word("move.text")), WY.element("code", { class: "wy-move__text" }, WY.seal.inGroups(made.text))),
    ]);
  };

  Moving.prototype.taking = function () {
    var own = this;
    var file = WY.newId();
    var typed = WY.newId();
    var input = WY.element("input", {
      type: "file",
      id: file,
      class: "wy-input",
      accept: "image/*",
      onchange: function () {
        own.readPicture(input);
      },
    });
    var area = WY.element("textarea", { id: typed, class: "wy-input", rows: 3, autocomplete: "off", spellcheck: "false" });
    return WY.element(
      "section",
      {},
      WY.element("h2", {}, WY.word("move.take")),
      WY.element("p", {}, WY.word("move.take_how")),
      WY.element("div", { class: "wy-field" }, WY.element("label", { for: file }, WY.word("move.photograph")), input),
      WY.element("div", { class: "wy-field" }, WY.element("label", { for: typed }, WY.word("move.typed")), area),
      WY.button("move.read", function () {
        own.take(area.value);
      }),
    );
  };

  Moving.prototype.readPicture = async function (input) {
    var file = input.files[0];
    if (!file) {
      return;
    }
    this.say("move.reading");
    try {
      var text = await this.textIn(file);
      if (text) {
        this.take(text);
      } else {
        this.say("move.no_code");
      }
    } catch (problem) {
      this.say(WY.readQr ? "move.no_picture" : "move.missing");
    }
    input.value = "";
  };

  Moving.prototype.textIn = async function (file) {
    if (!WY.readQr) {
      await fetched(this.root, "qr-read.js");
    }
    var picture = await createImageBitmap(file);
    var scale = Math.min(1, WIDEST / Math.max(picture.width, picture.height));
    var canvas = WY.element("canvas", { width: Math.round(picture.width * scale), height: Math.round(picture.height * scale) });
    var drawn = canvas.getContext("2d");
    drawn.drawImage(picture, 0, 0, canvas.width, canvas.height);
    var found = WY.readQr(drawn.getImageData(0, 0, canvas.width, canvas.height).data, canvas.width, canvas.height);
    return found ? found.data : "";
  };

  Moving.prototype.take = function (text) {
    var found = WY.record.newer() ? { problem: "record.newer_here" } : WY.movedStates.read(text, Object.keys(WY.plan.skills));
    if (found.problem) {
      this.say(found.problem);
      return;
    }
    WY.record.keep(WY.record.joined(WY.record.load(), WY.movedStates.recordOf(found)));
    this.say(found.unknown ? "move.taken_some" : "move.taken", found);
  };

  // Saved first, then asked once more: the question stands beside the buttons that answer it.
  Moving.prototype.erasing = function () {
    var own = this;
    var place = WY.element("div", { class: "wy-actions" });
    var said = WY.element("p", { class: "wy-status wy-move__asked", role: "status" });
    function begin(word) {
      said.textContent = word ? WY.word(word) : "";
      place.replaceChildren(WY.button("move.erase", ask));
    }
    function ask() {
      WY.record.save();
      said.textContent = WY.word("move.saved_first") + " " + WY.word("move.sure");
      // What is pressed twice by a slip keeps everything: that button comes first, where the other one stood.
      var no = WY.button("move.keep", function () {
        begin("");
        place.querySelector("button").focus();
      });
      place.replaceChildren();
      WY.add(place, [no, WY.button("move.erase_sure", erase)]);
      no.focus();
    }
    async function erase() {
      var word = "move.erased";
      await WY.record.erase().catch(function () {
        word = "move.photographs_stay";
      });
      own.picture.replaceChildren();
      begin(word);
      place.querySelector("button").focus();
    }
    begin("");
    return WY.element("section", {}, WY.element("h2", {}, WY.word("move.erase_title")), WY.element("p", {}, WY.word("move.erase_how")), said, place);
  };

  WY.whenReady(function () {
    document.querySelectorAll("[data-wy-saving]").forEach(function (root) {
      root.append(WY.button("record.save", WY.record.save, { class: "wy-button wy-button--main" }));
    });
    document.querySelectorAll("[data-wy-move]").forEach(function (root) {
      new Moving(root);
    });
  });
})();
