// What the self-contained pages share besides wy.js: inert data, one view in place of another, digests in letters.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  function data(name) {
    return JSON.parse(document.getElementById("wy-data-" + name).textContent);
  }

  function show(box) {
    box.replaceChildren();
    WY.add(box, Array.prototype.slice.call(arguments, 1));
  }

  function hex(bytes) {
    return Array.prototype.map
      .call(bytes, function (byte) {
        return byte.toString(16).padStart(2, "0");
      })
      .join("");
  }

  WY.sheet = {
    data: data,
    show: show,
    hex: hex,
  };
})();
