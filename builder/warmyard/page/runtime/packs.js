// Problems fetched when they are wanted: one classic script for each duty, which also loads from a file.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var asked = {};
  /** @type {any} */
  var own = document.currentScript;
  /** @type {any} */
  var planned = null;

  // Resolves when WY.plan is there: most pages do without it until somebody wants it.
  WY.fetchPlan = function () {
    if (WY.plan) {
      return Promise.resolve();
    }
    planned = planned || new Promise(function (/** @type {any} */ loaded, failed) {
      var script = document.createElement("script");
      script.src = new URL("data/practice-plan.js", own.src).href;
      script.onload = function () {
        // The plan names its packs as the start page sees them.
        WY.plan.folder = new URL("data/practice-", own.src).href;
        loaded();
      };
      script.onerror = function () {
        planned = null;
        failed(new Error(script.src));
      };
      document.head.append(script);
    });
    return planned;
  };

  function load(duty) {
    if (!asked[duty]) {
      asked[duty] = new Promise(function (loaded, failed) {
        var script = document.createElement("script");
        script.src = WY.plan.folder + duty + ".js";
        script.onload = loaded;
        script.onerror = function () {
          asked[duty] = null;
          failed(new Error(script.src));
        };
        document.head.append(script);
      });
    }
    return asked[duty];
  }

  // Resolves when every item of the list can be shown.
  WY.fetchItems = function (items) {
    var duties = {};
    items.forEach(function (item) {
      duties[item.duty] = true;
    });
    return Promise.all(Object.keys(duties).map(load));
  };
})();
