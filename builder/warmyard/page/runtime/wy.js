// What every script of a page shares: words, elements, storage under the site's own name, and the page's items.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  WY.kinds = WY.kinds || {};

  // A word by its id with its {parts} put in. A missing word shows its id, so that it is found when looked at.
  WY.word = function (id, parts) {
    var known = WY.words || {};
    var built = WY.markingWords || {};
    var text = known[id] !== undefined ? known[id] : built[id] !== undefined ? built[id] : "[" + id + "]";
    return text
      .replace(/\{(\w+)\}/g, function (whole, name) {
        return parts && parts[name] !== undefined ? String(parts[name]) : whole;
      })
      .replace(/\s+/g, " ")
      .trim();
  };

  // WY.element("p", {class: "x", onclick: f}, child, "text"): texts are put in as text, never as HTML.
  WY.element = function (tag, attributes) {
    var made = document.createElement(tag);
    Object.keys(attributes || {}).forEach(function (name) {
      var value = attributes[name];
      if (typeof value === "function") {
        made.addEventListener(name.slice(2), value);
      } else if (value === true) {
        made.setAttribute(name, "");
      } else if (value !== false && value !== null && value !== undefined) {
        made.setAttribute(name, value);
      }
    });
    WY.add(made, Array.prototype.slice.call(arguments, 2));
    return made;
  };

  WY.add = function (box, children) {
    children.forEach(function (child) {
      if (Array.isArray(child)) {
        WY.add(box, child);
      } else if (child !== null && child !== undefined && child !== false) {
        box.append(child);
      }
    });
  };

  // A button with a word on it: WY.button("record.save", save, {class: "wy-button wy-button--main"}).
  WY.button = function (word, act, attributes) {
    var wanted = Object.assign({ type: "button", class: "wy-button", onclick: act }, attributes || {});
    return WY.element("button", wanted, WY.word(word));
  };

  // Makes of an act one that comes when the reader has seen what a press did, once however often it is asked for.
  WY.afterPaint = function (act) {
    var asked = false;
    return function () {
      if (!asked) {
        asked = true;
        requestAnimationFrame(function () {
          setTimeout(function () {
            asked = false;
            act();
          }, 0);
        });
      }
    };
  };

  // A row of radio buttons under a legend: choices are {value, text}, act is told the value that was chosen.
  WY.pick = function (legend, choices, chosen, act) {
    var name = WY.newId();
    return WY.element(
      "fieldset",
      { class: "wy-mixed__scope" },
      WY.element("legend", { class: "wy-legend" }, legend),
      choices.map(function (choice) {
        var input = WY.element("input", {
          type: "radio",
          name: name,
          value: choice.value,
          checked: choice.value === chosen,
          onchange: function () {
            act(choice.value);
          },
        });
        return WY.element("label", { class: "wy-mixed__choice" }, input, " ", choice.text);
      }),
    );
  };

  // HTML that was built with the page (drawings, worked steps); never anything that a reader typed or loaded.
  WY.builtHtml = function (tag, attributes, html) {
    var made = WY.element(tag, attributes);
    made.innerHTML = html;
    return made;
  };

  var numbers = 0;
  WY.newId = function () {
    numbers += 1;
    return "wy-" + numbers;
  };

  // The day where the reader is, as 2026-01-31.
  WY.today = function () {
    var now = new Date();
    return [now.getFullYear(), two(now.getMonth() + 1), two(now.getDate())].join("-");
  };

  function two(number) {
    return (number < 10 ? "0" : "") + number;
  }

  // file:// storage is shared by every folder of the machine: site and version stand in every key. The version is that
  // of the way of keeping, never a digest of the course: a rebuilt course finds what its reader did.
  function site() {
    var root = document.documentElement;
    return WY.site || { id: root.getAttribute("data-wy-site"), version: root.getAttribute("data-wy-version") };
  }

  function prefix(version) {
    return "wy:" + (site().id || "warmyard") + ":" + version + ":";
  }

  function ownVersion() {
    return Number(site().version) || 1;
  }

  // Storage that may be forbidden, full or absent: reads give null, writes say whether they held.
  WY.storage = {
    get: function (key) {
      try {
        return localStorage.getItem(key);
      } catch (problem) {
        return null;
      }
    },
    set: function (key, text) {
      try {
        localStorage.setItem(key, text);
        return localStorage.getItem(key) === text;
      } catch (problem) {
        return false;
      }
    },
    remove: function (key) {
      try {
        localStorage.removeItem(key);
      } catch (problem) {
        // What cannot be reached is not kept either.
      }
    },
    // The names of all that is kept and begins so.
    names: function (beginning) {
      try {
        return Object.keys(localStorage).filter(function (key) {
          return key.startsWith(beginning);
        });
      } catch (problem) {
        return [];
      }
    },
  };

  // The site's own part of it, for pages that share one origin.
  WY.store = {
    // What an older site kept is found too, the newest first.
    get: function (name) {
      /** @type {any} */
      var found = null;
      for (var version = ownVersion(); version > 0 && found === null; version -= 1) {
        found = WY.storage.get(prefix(version) + name);
      }
      return found;
    },
    // False where storage is full or switched off: the page goes on, and a saved file is the truth anyway.
    set: function (name, text) {
      return WY.storage.set(prefix(ownVersion()) + name, text);
    },
    // Takes it away, and what an older site kept under the same name.
    remove: function (name) {
      for (var version = ownVersion(); version > 0; version -= 1) {
        WY.storage.remove(prefix(version) + name);
      }
    },
    // Takes everything away that any version of this site kept, by whatever name; not what other sites of this origin kept.
    clear: function () {
      WY.storage.names("wy:" + (site().id || "warmyard") + ":").forEach(WY.storage.remove);
    },
  };

  // Offers bytes or a text as a download; works from file:// and with no network.
  WY.saveFile = function (name, content) {
    var address = URL.createObjectURL(new Blob([content], { type: "application/json" }));
    var link = WY.element("a", { href: address, download: name, hidden: true });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(function () {
      URL.revokeObjectURL(address);
    }, 60000);
  };

  // Packs hold variants by item; a long text that stands in many of them is written once, {"$": NAME} stands for it.
  function unpacked(value, texts) {
    if (Array.isArray(value)) {
      return value.map(function (one) {
        return unpacked(one, texts);
      });
    }
    if (value === null || typeof value !== "object") {
      return value;
    }
    if (typeof value.$ === "string") {
      return texts[value.$];
    }
    var made = {};
    Object.keys(value).forEach(function (name) {
      made[name] = unpacked(value[name], texts);
    });
    return made;
  }

  // The variants of an item that the page carries, each with question and key; undefined when it carries none.
  WY.variants = function (item) {
    WY.items = WY.items || {};
    (WY.packs || []).forEach(function (pack) {
      if (!WY.items[item] && Object.prototype.hasOwnProperty.call(pack.items, item)) {
        WY.items[item] = unpacked(pack.items[item], pack.texts);
      }
    });
    return WY.items[item];
  };

  // A number is not parted from its unit at the end of a line.
  WY.unbroken = function (text) {
    var shown = WY.units ? WY.units.shown : {};
    return text.replace(/(\d) (\S+)/g, function (whole, digit, next) {
      var bare = next.replace(/[.,;:?!)]+$/, "");
      var isUnit = Object.keys(shown).some(function (unit) {
        return shown[unit] === bare;
      });
      return isUnit ? digit + "\u00a0" + next : whole;
    });
  };

  // A list in another order, every order as likely as any other.
  WY.mixed = function (list, random) {
    var made = list.slice();
    for (var at = made.length - 1; at > 0; at -= 1) {
      var other = Math.floor(random() * (at + 1));
      var held = made[at];
      made[at] = made[other];
      made[other] = held;
    }
    return made;
  };

  WY.whenReady = function (start) {
    if (document.readyState === "loading") {
      document.addEventListener("DOMContentLoaded", start);
    } else {
      start();
    }
  };

  WY.announce = function (text) {
    /** @type {any} */
    var place = document.getElementById("wy-said");
    if (!place) {
      place = WY.element("div", { id: "wy-said", class: "wy-unseen", "aria-live": "polite" });
      document.body.append(place);
    }
    place.textContent = text;
  };
})();
