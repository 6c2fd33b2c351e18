// What the self-contained pages share besides wy.js: inert data, buttons, saving a file, storage of their own.
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

  function button(word, act, attributes) {
    var wanted = Object.assign({ type: "button", class: "wy-button", onclick: act }, attributes || {});
    return WY.element("button", wanted, WY.word(word));
  }

  // Offers bytes as a download; works from file:// and with no network.
  function save(name, bytes) {
    var address = URL.createObjectURL(new Blob([bytes], { type: "application/json" }));
    var link = WY.element("a", { href: address, download: name, hidden: true });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(function () {
      URL.revokeObjectURL(address);
    }, 60000);
  }

  function hex(bytes) {
    return Array.prototype.map
      .call(bytes, function (byte) {
        return byte.toString(16).padStart(2, "0");
      })
      .join("");
  }

  // Storage that may be forbidden, full or absent: reads give null, writes say whether they held.
  var store = {
    get: function (key) {
      try {
        return localStorage.getItem(key);
      } catch (problem) {
        return null;
      }
    },
    put: function (key, text) {
      try {
        localStorage.setItem(key, text);
        return localStorage.getItem(key) === text;
      } catch (problem) {
        return false;
      }
    },
    drop: function (key) {
      try {
        localStorage.removeItem(key);
      } catch (problem) {
        return;
      }
    },
  };

  WY.sheet = {
    data: data,
    show: show,
    button: button,
    save: save,
    hex: hex,
    store: store,
  };
})();
