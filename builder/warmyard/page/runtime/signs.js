// The signs of the three states: drawn, always beside a word, so that neither a colour nor a shape alone says anything.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var DRAWN = {
    open: '<circle cx="8" cy="8" r="6"/>',
    seen: '<circle cx="8" cy="8" r="6"/><path d="M8 2a6 6 0 0 1 0 12z" fill="currentColor"/>',
    can: '<path d="M2.5 8.5l4 4 7-9"/>',
    kept: '<circle cx="8" cy="8" r="7" fill="currentColor"/><path class="wy-sign__in" d="M4.5 8.2l2.6 2.7 4.4-5.6"/>',
    again: '<path d="M8 1.5l7 13H1z"/><path d="M8 6v4.2M8 12v.6"/>',
  };

  // A sign by its state; "" is a step in which nothing was done.
  WY.sign = function (state) {
    var name = state || "open";
    var drawn = '<svg viewBox="0 0 16 16" focusable="false">' + DRAWN[name] + "</svg>";
    return WY.builtHtml("span", { class: "wy-sign wy-sign--" + name, "aria-hidden": "true" }, drawn);
  };

  // A sign with its word, such as a tick and "can".
  WY.signed = function (state) {
    return WY.element("span", { class: "wy-state" }, WY.sign(state), " ", WY.word("today.state_" + (state || "open")));
  };
})();
