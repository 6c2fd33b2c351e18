// Problems fetched when they are wanted: one classic script for each duty, which also loads from a file.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var asked = {};

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
