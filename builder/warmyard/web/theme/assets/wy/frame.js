/* The frame of a page: what opens the pages, the switch of colours, and tables wider than the screen.
   The page holds the words. */
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var SAID_FOR_MS = 2500;

  function each(selector, act) { Array.prototype.forEach.call(document.querySelectorAll(selector), act); }

  /* What a button opens over the page: focus goes in; it leaves by Escape, back to the button, or past the last link. */
  function opener(button) {
    /** @type {any} */
    var opened = document.getElementById(button.getAttribute("data-wy-opens"));
    if (!opened) { return; }

    function turn(open) {
      document.documentElement.classList.toggle("wy-opened", open);
      button.setAttribute("aria-expanded", String(open));
      if (open) { (opened.querySelector("[aria-current]") || opened.querySelector("a[href]")).focus(); }
    }

    function isOpen() { return button.getAttribute("aria-expanded") === "true"; }

    button.addEventListener("click", function () { turn(!isOpen()); });
    opened.addEventListener("keydown", function (event) {
      if (event.key === "Escape" && isOpen()) { turn(false); button.focus(); }
    });
    opened.addEventListener("focusout", function (event) {
      if (isOpen() && event.relatedTarget && event.relatedTarget !== button && !opened.contains(event.relatedTarget)) { turn(false); }
    });
    document.addEventListener("click", function (event) {
      /** @type {any} */
      var at = event.target;
      if (isOpen() && !opened.contains(at) && !button.contains(at)) { turn(false); }
    });
  }

  /* The box and the index of the search come when somebody looks for the first time. */
  function search(button) {
    var asked = false;

    function open() {
      if (WY.search) { WY.search(button, button.getAttribute("data-wy-root")); return; }
      if (asked) { return; }
      asked = true;
      var script = document.createElement("script");
      script.src = button.getAttribute("data-wy-search");
      script.addEventListener("load", open);
      script.addEventListener("error", function () { asked = false; });
      document.head.append(script);
    }

    button.addEventListener("click", open);
    document.addEventListener("keydown", function (event) {
      if ((event.ctrlKey || event.metaKey) && !event.altKey && event.key.toLowerCase() === "k") { event.preventDefault(); open(); }
    });
  }

  /* The switch of colours: named by what is, each press by what comes; and what came is said for a moment, since a
     device that is light looks as light does. */
  function looks(button) {
    /** @type {any} */
    var says = document.querySelector("[data-wy-says-look]");
    /** @type {any} */
    var later = 0;

    function name() {
      var one = button.querySelector("[data-wy-look-is='" + WY.looks.now() + "']");
      button.setAttribute("aria-label", one.getAttribute("data-wy-now"));
      button.title = one.getAttribute("data-wy-next");
    }

    button.addEventListener("click", function () {
      WY.looks.next();
      name();
      says.textContent = button.getAttribute("aria-label");
      clearTimeout(later);
      later = setTimeout(function () { says.textContent = ""; }, SAID_FOR_MS);
    });
    name();
  }

  /* Past its heading the bar says which page this is, and beside the text the part that is read is marked. */
  function follow() {
    /** @type {any} */
    var title = document.querySelector("[data-wy-title]");
    /** @type {any} */
    var heading = document.querySelector(".wy-text h1");
    if (!title || !heading) { return; }
    var site = title.textContent;
    /** @type {any} */
    var marked = null;
    var asked = false;
    var links = Array.prototype.slice.call(document.querySelectorAll(".wy-nav__parts a"));
    var parts = links.map(function (link) { return document.getElementById(decodeURIComponent(link.hash.slice(1))); });

    function look() {
      asked = false;
      var says = heading.getBoundingClientRect().bottom < 0 ? title.getAttribute("data-wy-title") : site;
      if (title.textContent !== says) { title.textContent = says; }
      var reading = globalThis.innerHeight * 0.3;
      var at = -1;
      parts.forEach(function (part, index) {
        if (part && part.getClientRects().length && part.getBoundingClientRect().top < reading) { at = index; }
      });
      if (links[at] === marked) { return; }
      if (marked) { marked.classList.remove("wy-nav__link--here"); }
      marked = links[at] || null;
      if (marked) { marked.classList.add("wy-nav__link--here"); }
    }

    addEventListener("scroll", function () {
      if (!asked) { asked = true; requestAnimationFrame(look); }
    }, { passive: true });
    requestAnimationFrame(look);
  }

  /* Where the column of pages is longer than the screen, the page that is open is in sight. */
  function showOpenPage(link) {
    var column = link.closest(".wy-side");
    var below = link.getBoundingClientRect().bottom - column.getBoundingClientRect().bottom;
    if (below > 0) { column.scrollTop = below + column.clientHeight / 2; }
  }

  /* What is wider or longer than its place can be reached by keyboard and says so; what fits is no stop on the way. */
  function watchWidth(box, says) {
    var hint = document.createElement("p");
    hint.className = "wy-wide";
    hint.textContent = says;
    function look() {
      var wide = box.scrollWidth > box.clientWidth + 1;
      box.classList.toggle("wy-scroll--wide", wide);
      var moves = wide || box.scrollHeight > box.clientHeight + 1;
      if (moves) { box.setAttribute("tabindex", "0"); } else { box.removeAttribute("tabindex"); }
      if (wide && box.querySelector("table")) { box.after(hint); } else { hint.remove(); }
    }
    look();
    if (!globalThis.ResizeObserver) { return; }
    var watch = new ResizeObserver(look);
    [box].concat(Array.from(box.children)).forEach(function (one) { watch.observe(one); });
  }

  function start() {
    each("[data-wy-opens]", opener);
    each("[data-wy-looks]", looks);
    each("[data-wy-search]", search);
    follow();
    each(".wy-nav [aria-current]", showOpenPage);
    each("[data-wy-wide]", function (head) {
      each(".wy-scroll[aria-label]", function (box) { watchWidth(box, head.getAttribute("data-wy-wide")); });
    });
  }

  if (document.readyState === "loading") { document.addEventListener("DOMContentLoaded", start); } else { start(); }
})();
