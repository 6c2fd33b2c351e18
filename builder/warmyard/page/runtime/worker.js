// Keeps every file of the site on this device. SITE, FILES (path -> digest) and FRESH (files that the office puts in
// place after the build, asked for anew whenever there is a network) are written above by the build.
// A file is kept under its path and digest: a newer course fetches only what changed, and an old page never gets new parts.
(function () {
  "use strict";
  /** @type {any} what a page's own types do not know of a worker */
  var worker = self;
  var ROOT = worker.registration ? worker.registration.scope : "";
  var AT_ONCE = 8;

  function key(path) {
    return ROOT + path + "?" + FILES[path];
  }

  async function fetchOne(cache, path) {
    if (await cache.match(key(path), { ignoreVary: true })) {
      return;
    }
    var answer = await fetch(new Request(ROOT + path, { cache: "no-cache" }));
    if (!answer.ok) {
      throw new Error(path + ": " + answer.status);
    }
    await cache.put(key(path), await plain(answer));
  }

  // A page that was redirected may not answer for an address: its body may.
  async function plain(answer) {
    return answer.redirected ? new Response(await answer.blob(), { headers: answer.headers }) : answer;
  }

  async function fetchAll() {
    var cache = await caches.open(SITE);
    var paths = Object.keys(FILES);
    for (var at = 0; at < paths.length; at += AT_ONCE) {
      await Promise.all(
        paths.slice(at, at + AT_ONCE).map(function (path) {
          return fetchOne(cache, path);
        }),
      );
    }
  }

  async function forgetOld() {
    var cache = await caches.open(SITE);
    var own = {};
    Object.keys(FILES).forEach(function (path) {
      own[key(path)] = true;
    });
    var kept = await cache.keys();
    await Promise.all(
      kept.map(function (request) {
        var ours = request.url.indexOf(ROOT) === 0 && FRESH.indexOf(request.url.slice(ROOT.length)) < 0;
        return ours && !own[request.url] ? cache.delete(request) : null;
      }),
    );
  }

  // The path in the site that an address asks for; "" when it is none of ours.
  function pathOf(address) {
    var plain = address.split("#")[0].split("?")[0];
    if (plain.indexOf(ROOT) !== 0) {
      return "";
    }
    var path = decodeURIComponent(plain.slice(ROOT.length)) || "index.html";
    return FRESH.indexOf(path) >= 0 || Object.prototype.hasOwnProperty.call(FILES, path) ? path : "";
  }

  async function answer(request, path) {
    var cache = await caches.open(SITE);
    if (FRESH.indexOf(path) >= 0) {
      return newest(cache, path);
    }
    return (await cache.match(key(path), { ignoreVary: true })) || fetch(request);
  }

  async function newest(cache, path) {
    try {
      // Asked for whole: a server that dates files by the second may call a list of this second unchanged.
      var answer = await fetch(ROOT + path, { cache: "no-store" });
      if (answer.ok) {
        await cache.put(ROOT + path, answer.clone());
        return answer;
      }
    } catch (problem) {
      // No network: the last one that was seen, which shows its own date.
    }
    return (await cache.match(ROOT + path)) || Response.error();
  }

  worker.addEventListener("install", function (event) {
    event.waitUntil(fetchAll());
  });
  worker.addEventListener("activate", function (event) {
    event.waitUntil(forgetOld().then(function () {
      return worker.clients.claim();
    }));
  });
  worker.addEventListener("message", function (event) {
    if (event.data === "take-over") {
      worker.skipWaiting();
    }
  });
  worker.addEventListener("fetch", function (event) {
    var path = event.request.method === "GET" ? pathOf(event.request.url) : "";
    if (path) {
      event.respondWith(answer(event.request, path));
    }
  });
})();
