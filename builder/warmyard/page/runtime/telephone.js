// Over https the site is kept on the device; from a file there is nothing to do. WY.telephoneWords comes with the build.
(function () {
  "use strict";
  var WY = globalThis.WY;
  /** @type {any} */
  var script = document.currentScript;
  var own = script ? script.src : "";
  var root = own.replace(/assets\/wy\/telephone\.js.*$/, "");

  function note(text) {
    var box = document.createElement("p");
    box.className = "wy-telephone-note";
    box.setAttribute("role", "status");
    box.textContent = text;
    (document.querySelector("main") || document.body).prepend(box);
    return box;
  }

  // A newer course lies ready: it takes over when the reader says so, never in the middle of a page.
  function offer(worker) {
    if (document.querySelector("[data-wy-newer]")) {
      return;
    }
    var box = note(WY.telephoneWords.newer + " ");
    box.setAttribute("data-wy-newer", "");
    var button = document.createElement("button");
    button.type = "button";
    button.className = "wy-button";
    button.textContent = WY.telephoneWords.load;
    button.addEventListener("click", function () {
      navigator.serviceWorker.addEventListener("controllerchange", function () {
        location.reload();
      });
      worker.postMessage("take-over");
    });
    box.append(button);
  }

  function watch(registration) {
    if (registration.waiting && navigator.serviceWorker.controller) {
      offer(registration.waiting);
    }
    registration.addEventListener("updatefound", function () {
      var worker = registration.installing;
      worker.addEventListener("statechange", function () {
        if (worker.state === "installed" && navigator.serviceWorker.controller) {
          offer(worker);
        }
      });
    });
  }

  function sayOffline() {
    var known = document.querySelector("[data-wy-offline]");
    if (navigator.onLine && known) {
      known.remove();
    } else if (!navigator.onLine && !known) {
      note(WY.telephoneWords.offline).setAttribute("data-wy-offline", "");
    }
  }

  // Browsers complain of a manifest beside a file, so that pages name it only over http.
  function nameManifest() {
    var link = document.createElement("link");
    link.rel = "manifest";
    link.href = root + "manifest.webmanifest";
    document.head.append(link);
  }

  // Said in the foot once it is true: from a file at once, over a network when the worker has kept every file.
  function sayReady(text) {
    var place = document.querySelector("[data-wy-ready]");
    if (place) {
      place.textContent = text;
    }
  }

  if (location.protocol === "file:") {
    sayReady(WY.telephoneWords["ready-here"]);
  }
  if (location.protocol.indexOf("http") !== 0 || !globalThis.isSecureContext || !navigator.serviceWorker) {
    return;
  }
  addEventListener("load", function () {
    navigator.serviceWorker
      .register(root + "sw.js", { scope: root })
      .then(function (registration) {
        nameManifest();
        navigator.serviceWorker.ready.then(function () {
          sayReady(WY.telephoneWords.ready);
        });
        watch(registration);
        addEventListener("offline", sayOffline);
        addEventListener("online", sayOffline);
        sayOffline();
      })
      .catch(function () {
        // Without a worker the pages work as they do from a file; a network is needed for each.
      });
  });
})();
