// What the self-contained pages share besides wy.js: inert data, one view in place of another, digests in letters.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  /** What the page's own template holds under an id.
   * @param {string} id
   * @returns {any} */
  function at(id) {
    return document.getElementById(id);
  }

  function data(name) {
    return JSON.parse(at("wy-data-" + name).textContent);
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
    at: at,
    data: data,
    show: show,
    hex: hex,
  };
})();
