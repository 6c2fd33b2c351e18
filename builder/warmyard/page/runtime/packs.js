// Problems fetched when they are wanted: one classic script for each, which also loads from a file.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var NEAR_PX = 600;
  var asked = {};
  /** @type {any} */
  var own = document.currentScript;
  var folder = own && own.src ? new URL("data/items/", own.src).href : "";
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
      script.onload = loaded;
      script.onerror = function () {
        planned = null;
        failed(new Error(script.src));
      };
      document.head.append(script);
    });
    return planned;
  };

  function load(item) {
    if (!asked[item]) {
      asked[item] = new Promise(function (loaded, failed) {
        var script = document.createElement("script");
        script.src = folder + item + ".js";
        script.onload = loaded;
        script.onerror = function () {
          asked[item] = null;
          failed(new Error(script.src));
        };
        document.head.append(script);
      });
    }
    return asked[item];
  }

  // Resolves when every item of the list can be shown.
  WY.fetchItems = function (items) {
    var lacking = items.filter(function (item) {
      return !WY.variants(item.id);
    });
    return Promise.all(lacking.map(function (item) {
      return load(item.id);
    }));
  };

  // Acts once, when a box comes near what is read; a box that is folded away waits until it is opened.
  WY.whenNear = function (box, act) {
    if (!globalThis.IntersectionObserver) {
      act();
      return;
    }
    var watch = new IntersectionObserver(function (seen) {
      if (seen.some(function (one) { return one.isIntersecting; })) {
        watch.disconnect();
        act();
      }
    }, { rootMargin: NEAR_PX + "px 0px" });
    watch.observe(box);
  };
})();
