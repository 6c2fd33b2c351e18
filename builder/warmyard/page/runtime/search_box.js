/* The box in which words are looked for. It and the index are loaded when the reader opens it for the first time. */
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var LETTERS = 160;
  var SLICE_MS = 8;
  var PAUSE_MS = 60;
  var SHOWN_AT_ONCE = 12;

  function make(name, given, inside) {
    var one = document.createElement(name);
    Object.keys(given || {}).forEach(function (key) { one.setAttribute(key, given[key]); });
    (inside || []).forEach(function (child) { one.append(child); });
    return one;
  }

  /* Loads a script; a page opened from a file may do no more. */
  function load(address, then) {
    var script = make("script", { src: address });
    script.addEventListener("load", then);
    document.head.append(script);
  }

  function marked(pieces) {
    return pieces.map(function (piece) { return piece.hit ? make("mark", {}, [piece.text]) : piece.text; });
  }

  function counted(count) {
    var says = WY.searchWords;
    return count === 0 ? says.none : count === 1 ? says.one : says.other.replace("#", String(count));
  }

  function entry(root, part, words) {
    var pieces = marked(WY.finding.pieces(part.heading || part.title, words));
    var link = make("a", { href: root + part.url + (part.anchor ? "#" + part.anchor : ""), class: "wy-search__link" }, [
      make("strong", { class: "wy-search__part" }, pieces), " ",
      make("span", { class: "wy-search__page" }, part.anchor ? [part.title] : []), " ",
      make("span", { class: "wy-search__text" }, marked(WY.finding.excerpt(part.text, words, LETTERS))),
    ]);
    return make("li", {}, [link]);
  }

  /* A page or two at a time, so that what is typed meanwhile is seen at once. */
  function takeIn(index, then) {
    var until = performance.now() + SLICE_MS;
    while (performance.now() < until) {
      if (!WY.finding.take(index)) { then(index); return; }
    }
    setTimeout(takeIn, 0, index, then);
  }

  function build() {
    var says = WY.searchWords;
    var box = {
      input: make("input", { type: "search", class: "wy-search__input", "aria-label": says.field, placeholder: says.field, autocomplete: "off", autocapitalize: "off", spellcheck: "false", enterkeyhint: "search" }),
      close: make("button", { type: "button", class: "wy-search__close", "aria-label": says.close }, ["\u00d7"]),
      status: make("p", { class: "wy-search__status", role: "status" }),
      first: make("p", { class: "wy-search__first", "aria-live": "polite" }),
      list: make("ol", { class: "wy-search__list" }),
      dialog: /** @type {any} */ (make("dialog", { class: "wy-search", "aria-label": says.name })),
      index: /** @type {any} */ (null),
      found: /** @type {any} */ (null),
      later: /** @type {any} */ (0),
    };
    box.dialog.append(make("form", { class: "wy-search__form", role: "search" }, [box.input, box.close]), box.status, box.first, box.list);
    document.body.append(box.dialog);
    return box;
  }

  function look(box, root) {
    var typed = box.input.value.trim();
    box.list.textContent = "";
    box.first.textContent = "";
    if (!typed || !box.index) {
      box.status.textContent = typed ? WY.searchWords.wait : WY.searchWords.begin;
      return;
    }
    sayFirst(box, typed, root);
    var found = WY.finding.find(box.index, typed, !/\s$/.test(box.input.value));
    box.status.textContent = counted(found.count || 0);
    fill(box, root, found);
  }

  /* Before the places: what the glossary says of a word of the trade, or what a misspelt word may have meant. */
  function sayFirst(box, typed, root) {
    var told = WY.finding.explain(box.index, typed);
    if (told) {
      var name = told.name === told.term ? told.term : told.name + ": " + told.term;
      box.first.append(make("strong", {}, [name + "."]), " ", told.means);
      return;
    }
    var meant = WY.finding.meant(box.index, typed);
    if (!meant) { return; }
    var take = make("button", { type: "button", class: "wy-search__meant" }, [WY.searchWords.meant.replace("#", meant)]);
    take.addEventListener("click", function () {
      box.input.value = meant;
      box.input.focus();
      look(box, root);
    });
    box.first.append(take);
  }

  /* What is seen at once, then the rest, unless something else was typed meanwhile. */
  function fill(box, root, found) {
    box.found = found;
    var next = found.parts.splice(0, SHOWN_AT_ONCE);
    box.list.append.apply(box.list, next.map(function (part) { return entry(root, part, found.words); }));
    if (found.parts.length) { setTimeout(function () { if (box.found === found) { fill(box, root, found); } }, PAUSE_MS); }
  }

  /* After a letter, not with it: what is typed is seen first. */
  function lookSoon(box, root) {
    clearTimeout(box.later);
    box.later = setTimeout(look, PAUSE_MS, box, root);
  }

  /* Arrows go through what was found. The first Escape closes, whatever is typed. */
  function press(box, event) {
    if (event.key === "Escape") { event.preventDefault(); box.dialog.close(); return; }
    var step = event.key === "ArrowDown" ? 1 : event.key === "ArrowUp" ? -1 : 0;
    if (!step) { return; }
    event.preventDefault();
    var links = Array.prototype.slice.call(box.list.querySelectorAll("a"));
    var at = links.indexOf(document.activeElement) + step;
    if (at < 0) { box.input.focus(); } else if (links[at]) { links[at].focus(); }
  }

  function start(opener, root) {
    var box = build();
    box.dialog.addEventListener("keydown", function (event) { press(box, event); });
    box.dialog.addEventListener("close", function () {
      opener.setAttribute("aria-expanded", "false");
      opener.focus({ preventScroll: true });
    });
    box.dialog.addEventListener("click", function (event) {
      if (event.target === box.dialog || event.target === box.close || event.target.closest("a")) { box.dialog.close(); }
    });
    box.dialog.addEventListener("submit", function (event) {
      event.preventDefault();
      clearTimeout(box.later);
      look(box, root);
      var first = box.list.querySelector("a");
      if (first) { first.click(); }
    });
    box.input.addEventListener("input", function () { lookSoon(box, root); });
    load(root + "assets/wy/search_index.js", function () {
      takeIn(WY.finding.begin(WY.searchIndex), function (index) {
        box.index = index;
        look(box, root);
      });
    });
    return box;
  }

  /** @type {any} */
  var box = null;
  WY.search = function (opener, root) {
    box = box || start(opener, root);
    if (!box.dialog.open) { box.dialog.showModal(); }
    opener.setAttribute("aria-expanded", "true");
    box.input.focus();
    box.input.select();
    look(box, root);
  };
})();
