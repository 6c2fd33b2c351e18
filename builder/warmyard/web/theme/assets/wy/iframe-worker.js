/* A Worker for pages opened from a file: browsers refuse to start one there, so its script runs in a hidden frame.
   Only what the search needs: messages both ways, and importScripts. The name IFrameWorker is what the search looks for. */
(function () {
  "use strict";
  if (location.protocol !== "file:") { return; }

  function FrameWorker(address) {
    var self = this;
    var waiting = [];
    var ready = false;
    var url = new URL(String(address), location.href).href;
    self.onmessage = null;
    self.listeners = [];
    /** @type {any} */
    var frame = document.createElement("iframe");
    frame.hidden = true;
    frame.title = "search";
    frame.setAttribute("aria-hidden", "true");
    document.body.appendChild(frame);

    function deliver(data) {
      var message = new MessageEvent("message", { data: data });
      if (self.onmessage) { self.onmessage(message); }
      self.listeners.forEach(function (listener) { listener(message); });
    }

    self.postMessage = function (data) {
      if (ready) { frame.contentWindow.dispatchEvent(new MessageEvent("message", { data: data })); } else { waiting.push(data); }
    };
    self.addEventListener = function (kind, listener) { if (kind === "message") { self.listeners.push(listener); } };
    self.removeEventListener = function (kind, listener) {
      self.listeners = self.listeners.filter(function (known) { return known !== listener; });
    };
    self.terminate = function () { frame.remove(); };

    var inside = frame.contentWindow;
    inside.postMessage = function (data) { setTimeout(deliver, 0, data); };
    var script = inside.document.createElement("script");
    script.src = url;
    script.onload = function () {
      ready = true;
      waiting.splice(0).forEach(self.postMessage);
    };
    inside.document.body.appendChild(script);
  }

  window.IFrameWorker = FrameWorker;
  window.Worker = /** @type {any} */ (FrameWorker);
})();
