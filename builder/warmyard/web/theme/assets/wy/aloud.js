// Reads a page aloud by the device's own voice, block by block; what is being read is marked. Nothing is sent anywhere.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var BLOCKS = "h1,h2,h3,p,li,dt,dd,figcaption,caption,th,td,summary,label,legend";
  var SILENT = "form, button, svg, math, script, [aria-hidden=true], [hidden], .wy-source-mark, .wy-formula, .wy-unseen, nav, select";
  var LONGEST = 200; // some voices stop in the middle of a longer text

  // The texts of a page in the order in which they stand: [{block, text}], without what is hidden or no language.
  function texts(root) {
    return Array.prototype.filter
      .call(root.querySelectorAll(BLOCKS), function (block) {
        return block.getClientRects().length > 0 && !block.closest(SILENT) && !block.querySelector(BLOCKS);
      })
      .map(function (block) {
        return { block: block, text: words(block) };
      })
      .filter(function (one) {
        return /[\p{L}\p{N}]/u.test(one.text);
      });
  }

  function words(block) {
    var copy = block.cloneNode(true);
    copy.querySelectorAll(SILENT).forEach(function (part) {
      part.remove();
    });
    return copy.textContent.replace(/\s+/g, " ").trim();
  }

  // A text in pieces that end where a sentence ends, or where there is no other way at a blank.
  function pieces(text) {
    var made = [];
    var rest = text;
    while (rest.length > LONGEST) {
      var head = rest.slice(0, LONGEST);
      var at = Math.max(head.lastIndexOf(". "), head.lastIndexOf("? "), head.lastIndexOf("; "), head.lastIndexOf(": "));
      at = at > 0 ? at + 1 : head.lastIndexOf(" ");
      at = at > 0 ? at : LONGEST;
      made.push(rest.slice(0, at).trim());
      rest = rest.slice(at).trim();
    }
    return rest ? made.concat([rest]) : made;
  }

  // A voice of this device that speaks the page's language; one that needs a network is none.
  function voiceFor(language) {
    var start = language.toLowerCase().split("-")[0];
    return speechSynthesis.getVoices().filter(function (voice) {
      return voice.localService && voice.lang.toLowerCase().replace("_", "-").split("-")[0] === start;
    })[0];
  }

  function Reader(page, button, voice) {
    var own = this;
    this.page = page;
    this.voice = voice;
    this.reading = 0;
    this.speaks = false;
    this.button = button;
    button.addEventListener("click", function () {
      if (own.speaks) {
        own.stop();
      } else {
        own.read();
      }
    });
    this.show(false);
    button.hidden = false;
  }

  // Reads what is open on the page: one step where a lesson shows one step, else the whole page from its title on.
  Reader.prototype.read = function () {
    var list = texts(this.page);
    this.stop();
    this.show(true);
    this.next(list, 0, this.reading);
  };

  Reader.prototype.next = function (list, at, reading) {
    var own = this;
    if (reading !== this.reading) {
      return;
    }
    if (at === list.length) {
      this.stop();
      return;
    }
    this.mark(list[at].block);
    var parts = pieces(list[at].text);
    parts.forEach(function (part, index) {
      var said = new SpeechSynthesisUtterance(part);
      said.voice = own.voice;
      said.lang = own.voice.lang;
      if (index === parts.length - 1) {
        said.onend = function () {
          own.next(list, at + 1, reading);
        };
      }
      said.onerror = function () {
        if (reading === own.reading) {
          own.stop();
        }
      };
      speechSynthesis.speak(said);
    });
  };

  Reader.prototype.mark = function (block) {
    if (this.marked) {
      this.marked.classList.remove("wy-aloud-now");
    }
    this.marked = block;
    if (block) {
      block.classList.add("wy-aloud-now");
      block.scrollIntoView({ block: "nearest" });
    }
  };

  Reader.prototype.stop = function () {
    this.reading += 1;
    speechSynthesis.cancel();
    this.mark(null);
    this.show(false);
  };

  Reader.prototype.show = function (speaks) {
    this.speaks = speaks;
    var says = WY.word(speaks ? "aloud.stop" : "aloud.read");
    this.button.setAttribute("aria-label", says);
    this.button.title = says;
    this.button.setAttribute("aria-pressed", String(speaks));
  };

  // The button comes when a voice is there: some browsers find theirs only after the page.
  function start() {
    /** @type {any} */
    var button = document.querySelector("[data-wy-aloud]");
    var page = document.querySelector(".wy-page");
    /** @type {any} */
    var reader = null;
    if (!button || !page || !globalThis.speechSynthesis) {
      return;
    }
    function offer() {
      var voice = voiceFor(document.documentElement.lang);
      if (voice && !reader) {
        reader = new Reader(page, button, voice);
      }
    }
    addEventListener("pagehide", function () {
      if (reader) {
        reader.stop();
      }
    });
    // Another step was opened while one was read: it goes on with that.
    addEventListener("hashchange", function () {
      if (reader && reader.speaks) {
        reader.read();
      }
    });
    speechSynthesis.addEventListener("voiceschanged", offer);
    offer();
  }

  WY.aloud = { pieces: pieces };
  WY.whenReady(start);
})();
