/* The frame of a page: what opens the pages and the search, the switch of colours, and tables wider than the screen.
   The page holds the words. */
(function () {
  "use strict";
  var SAID_FOR_MS = 2500;

  function each(selector, act) { Array.prototype.forEach.call(document.querySelectorAll(selector), act); }

  function isShown(one) { return one.getClientRects().length > 0; }

  /* A button moves the switch that the theme listens to. Opened, the keyboard goes in; it leaves by Escape, back to the
     button, or past the last link. */
  function opener(button) {
    /** @type {any} */
    var toggle = document.getElementById(button.getAttribute("data-wy-opens"));
    /** @type {any} */
    var opened = document.getElementById(button.getAttribute("aria-controls"));
    if (!toggle || !opened) { return; }

    function close() { if (toggle.checked) { toggle.click(); } }

    button.addEventListener("click", function () { toggle.click(); });
    toggle.addEventListener("change", function () {
      button.setAttribute("aria-expanded", String(toggle.checked));
      if (toggle.checked) { Array.prototype.filter.call(opened.querySelectorAll("input, a[href]"), isShown)[0].focus(); }
    });
    opened.addEventListener("keydown", function (event) {
      if (event.key === "Escape" && toggle.checked) { close(); button.focus(); }
    });
    opened.addEventListener("focusout", function (event) {
      if (toggle.id === "__drawer" && event.relatedTarget && !opened.contains(event.relatedTarget)) { close(); }
    });
  }

  /* What the colours are now, for eyes that see no difference: a device that is light looks as light does. */
  function sayColours(place) {
    /** @type {any} */
    var later = 0;
    place.closest("form").addEventListener("change", function (event) {
      place.textContent = event.target.getAttribute("aria-label");
      clearTimeout(later);
      later = setTimeout(function () { place.textContent = ""; }, SAID_FOR_MS);
    });
  }

  /* What is wider than its place can be reached by keyboard and says so; what fits is no stop on the way. */
  function watchWidth(box, says) {
    var hint = document.createElement("p");
    hint.className = "wy-wide";
    hint.textContent = says;
    function look() {
      var wide = box.scrollWidth > box.clientWidth + 1;
      box.classList.toggle("wy-scroll--wide", wide);
      if (wide) { box.setAttribute("tabindex", "0"); } else { box.removeAttribute("tabindex"); }
      if (wide && box.querySelector("table")) { box.after(hint); } else { hint.remove(); }
    }
    look();
    if (globalThis.ResizeObserver) { new ResizeObserver(look).observe(box); }
  }

  function start() {
    each("[data-wy-opens]", opener);
    each("[data-wy-now]", sayColours);
    each("[data-wy-wide]", function (head) {
      each(".wy-scroll[aria-label]", function (box) { watchWidth(box, head.getAttribute("data-wy-wide")); });
    });
  }

  if (document.readyState === "loading") { document.addEventListener("DOMContentLoaded", start); } else { start(); }
})();
