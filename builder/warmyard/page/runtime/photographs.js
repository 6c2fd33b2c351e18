// Photographs that stay on this device: made small, kept by a name in the browser's own store, never sent anywhere.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var STORE = "photographs";
  var LONGEST_PX = 1280;
  var QUALITY = 0.8;

  function site() {
    var own = WY.site || {};
    return "wy:" + (own.id || "warmyard");
  }

  function opened() {
    return new Promise(function (done, failed) {
      if (!globalThis.indexedDB) {
        failed(null);
        return;
      }
      var asked = indexedDB.open(site(), 1);
      asked.onupgradeneeded = function () {
        asked.result.createObjectStore(STORE);
      };
      asked.onsuccess = function () {
        done(asked.result);
      };
      asked.onerror = function () {
        failed(asked.error);
      };
    });
  }

  async function asked(mode, act) {
    var base = await opened();
    try {
      return await new Promise(function (done, failed) {
        var work = base.transaction(STORE, mode);
        var request = act(work.objectStore(STORE));
        work.oncomplete = function () {
          done(request.result);
        };
        work.onabort = work.onerror = function () {
          failed(work.error);
        };
      });
    } finally {
      base.close();
    }
  }

  // A picture as a small JPEG, upright as its camera meant it.
  async function small(file) {
    var picture = await createImageBitmap(file);
    var share = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
    /** @type {any} */
    var canvas = document.createElement("canvas");
    canvas.width = Math.max(1, Math.round(picture.width * share));
    canvas.height = Math.max(1, Math.round(picture.height * share));
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    picture.close();
    return new Promise(function (done, failed) {
      canvas.toBlob(
        function (blob) {
          return blob ? done(blob) : failed(null);
        },
        "image/jpeg",
        QUALITY,
      );
    });
  }

  WY.photographs = {
    take: async function (name, file) {
      var blob = await small(file);
      await asked("readwrite", function (store) {
        return store.put(blob, name);
      });
      return blob;
    },
    find: function (name) {
      return asked("readonly", function (store) {
        return store.get(name);
      });
    },
    drop: function (name) {
      return asked("readwrite", function (store) {
        return store.delete(name);
      });
    },
    clear: function () {
      return asked("readwrite", function (store) {
        return store.clear();
      });
    },
  };
})();
