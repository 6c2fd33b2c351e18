// Cards to turn over: one at a time, in another order each time; what was not known comes again before the end. What was
// known is kept on this device until the deck is begun once more.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var SVG = "http://www.w3.org/2000/svg";
  var LATER = 3; // a card that was not known comes again after so many others
  var ROOM = 6;

  // Cards in the order in which they come: drawing after drawing as the deck has them, and mixed within each.
  function inTurn(cards, random) {
    var drawings = new Map();
    cards.forEach(function (card) {
      var name = drawingOf(card);
      drawings.set(name, (drawings.get(name) || []).concat([card]));
    });
    return Array.from(drawings.values()).flatMap(function (some) {
      return WY.mixed(some, random);
    });
  }

  function drawingOf(card) {
    return card.getAttribute("data-wy-drawing");
  }

  function nameOf(card) {
    return card.getAttribute("data-wy-card");
  }

  function known(deck) {
    try {
      var kept = JSON.parse(WY.store.get("deck:" + deck) || "[]");
      return Array.isArray(kept) ? kept : [];
    } catch (problem) {
      return [];
    }
  }

  // What follows a card: those left, with it put back a little later when it was not known.
  function after(left, known) {
    var rest = left.slice(1);
    if (!known) {
      rest.splice(Math.min(LATER, rest.length), 0, left[0]);
    }
    return rest;
  }

  function Deck(section) {
    var own = this;
    this.section = section;
    this.name = section.getAttribute("data-wy-deck");
    this.cards = Array.prototype.slice.call(section.querySelectorAll(".wy-deck__card"));
    this.state = WY.element("p", { class: "wy-deck__state", role: "status" });
    this.turn = WY.button("decks.turn", function () {
      own.turnOver();
    }, { class: "wy-button wy-button--main" });
    this.known = WY.button("decks.known", function () {
      own.go(true);
    }, { class: "wy-button wy-button--main" });
    this.missed = WY.button("decks.missed", function () {
      own.go(false);
    });
    this.again = WY.button("decks.again", function () {
      WY.store.remove("deck:" + own.name);
      own.start();
      own.focus();
    }, { class: "wy-button wy-button--main" });
    section.classList.add("wy-deck--turned");
    section.append(WY.element("div", { class: "wy-actions" }, this.turn, this.known, this.missed, this.again), this.state);
    this.start();
  }

  Deck.prototype.start = function () {
    var kept = known(this.name);
    var open = this.cards.filter(function (card) {
      return kept.indexOf(nameOf(card)) < 0;
    });
    this.left = inTurn(open, Math.random);
    this.done = this.cards.length - open.length;
    this.show();
  };

  Deck.prototype.go = function (wasKnown) {
    if (wasKnown) {
      WY.store.set("deck:" + this.name, JSON.stringify(known(this.name).concat([nameOf(this.left[0])])));
    }
    this.left = after(this.left, wasKnown);
    this.done += wasKnown ? 1 : 0;
    this.show();
    this.focus();
  };

  Deck.prototype.show = function () {
    var card = this.left[0];
    this.cards.forEach(function (one) {
      one.hidden = one !== card;
      one.querySelector("dd").hidden = true;
    });
    this.ring(card);
    this.buttons(card ? "front" : "end");
    this.state.textContent = WY.word(card ? "decks.state" : "decks.end", { done: this.done, count: this.cards.length });
  };

  Deck.prototype.turnOver = function () {
    this.left[0].querySelector("dd").hidden = false;
    this.buttons("back");
    this.known.focus({ preventScroll: true });
    WY.announce(this.left[0].querySelector("dd").textContent);
  };

  Deck.prototype.buttons = function (side) {
    this.section.classList.toggle("wy-deck--front", side === "front");
    this.turn.hidden = side !== "front";
    this.known.hidden = this.missed.hidden = side !== "back";
    this.again.hidden = side !== "end";
  };

  Deck.prototype.focus = function () {
    (this.left.length ? this.turn : this.again).focus({ preventScroll: true });
    if (this.left.length) {
      WY.announce(this.left[0].querySelector("dt").textContent);
    }
  };

  // The drawing of the card, with a ring round its part that hides nothing of it.
  Deck.prototype.ring = function (card) {
    var name = card ? drawingOf(card) : null;
    this.section.querySelectorAll(".wy-deck__drawing").forEach(function (one) {
      one.hidden = one.getAttribute("data-wy-drawing") !== name;
    });
    this.section.querySelectorAll(".wy-deck__ring").forEach(function (one) {
      one.remove();
    });
    /** @type {any} */
    var part = name === null ? null : document.getElementById(card.getAttribute("data-wy-ring"));
    if (part) {
      part.ownerSVGElement.append(ringOf(part));
    }
  };

  function ringOf(part) {
    var box = part.getBBox();
    var place = part.ownerSVGElement.getCTM().inverse().multiply(part.getCTM());
    var middle = new DOMPoint(box.x + box.width / 2, box.y + box.height / 2).matrixTransform(place);
    var ring = document.createElementNS(SVG, "ellipse");
    ring.setAttribute("class", "wy-deck__ring");
    ring.setAttribute("cx", String(middle.x));
    ring.setAttribute("cy", String(middle.y));
    ring.setAttribute("rx", String(Math.max(ROOM * 2, (box.width * Math.abs(place.a)) / 2 + ROOM)));
    ring.setAttribute("ry", String(Math.max(ROOM * 2, (box.height * Math.abs(place.d)) / 2 + ROOM)));
    return ring;
  }

  WY.decks = { after: after };
  WY.whenReady(function () {
    document.querySelectorAll("[data-wy-deck]").forEach(function (section) {
      new Deck(section);
    });
  });
})();
