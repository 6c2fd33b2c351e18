// Problems fetched when they are wanted: one classic script for each, which also loads from a file.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var NEAR_PX = 600;
  var asked = {};
  /** @type {any} */
  var own = document.currentScript;
  var data = own && own.src ? new URL("data/", own.src).href : "";

  // Resolves when a script is loaded, asked for once; one that did not come may be asked for again.
  WY.loadOnce = function (src) {
    if (!asked[src]) {
      asked[src] = new Promise(function (loaded, failed) {
        var script = document.createElement("script");
        script.src = src;
        script.onload = loaded;
        script.onerror = function () {
          asked[src] = null;
          failed(new Error(src));
        };
        document.head.append(script);
      });
    }
    return asked[src];
  };

  // Resolves when WY.plan is there: most pages do without it until somebody wants it.
  WY.fetchPlan = function () {
    return WY.plan ? Promise.resolve() : WY.loadOnce(data + "practice-plan.js");
  };

  // Resolves when every item of the list can be shown.
  WY.fetchItems = function (items) {
    var lacking = items.filter(function (item) {
      return !WY.variants(item.id);
    });
    return Promise.all(lacking.map(function (item) {
      return WY.loadOnce(data + "items/" + item.id + ".js");
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
