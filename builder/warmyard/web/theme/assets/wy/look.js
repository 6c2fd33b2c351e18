/* Read before anything is painted: that scripts run, and how light the reader wants the page. Without a choice the page
   follows the device, and so it does where no script runs. The choice lies under the name that earlier sites gave it. */
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  /* In the order of the switch, by which the choice is kept. */
  var LOOKS = ["device", "sun", "dark", "light"];
  var root = document.documentElement;
  /** @type {any} */
  var own = document.currentScript;
  var name = new URL("../../", own.src).pathname + ".__palette";

  function kept() {
    try { return JSON.parse(localStorage.getItem(name) || "{}").index % LOOKS.length || 0; } catch (_) { return 0; }
  }

  function show() {
    if (at === 0) { root.removeAttribute("data-wy-look"); } else { root.setAttribute("data-wy-look", LOOKS[at]); }
  }

  var at = kept();
  WY.looks = {
    now: function () { return LOOKS[at]; },
    next: function () {
      at = (at + 1) % LOOKS.length;
      try { localStorage.setItem(name, JSON.stringify({ index: at })); } catch (_) { /* stays until the page is left */ }
      show();
    },
  };
  root.classList.replace("no-js", "js");
  show();
})();
