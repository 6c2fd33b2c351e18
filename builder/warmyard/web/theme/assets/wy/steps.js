/* The steps of a lesson: one is open at a time, its address names it, and any place inside one opens it.
   Without scripts all stand open; before they have run, the style sheet shows the first or the one that is addressed. */
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  function all(box, selector) { return Array.prototype.slice.call(box.querySelectorAll(selector)); }

  /* The record's scripts, as far as this page has them. */
  function parts() {
    /** @type {any} */
    var all = WY;
    return { record: all.record, standing: all.standing, sheets: all.sheets };
  }

  /* What the record says of a step, by the end of its word; a page without the record's scripts says nothing. */
  function standing(box, step) {
    var own = parts();
    if (!own.standing || !own.record) { return ""; }
    var page = box.getAttribute("data-wy-steps");
    var plan = WY.plan || planOf(box);
    var record = own.record.load();
    return own.standing.again(record, plan, page, step) ? "again" : own.standing.ofStep(record, plan, page, step, WY.today());
  }

  /* As much of the plan as this page alone knows: its steps, and the skill of each problem. */
  function planOf(box) {
    var steps = all(box, "section[data-wy-step]").map(function (section) {
      return { id: section.getAttribute("data-wy-step"), items: itemsOf(section) };
    });
    var items = [];
    steps.forEach(function (step) { items = items.concat(step.items.map(itemOf)); });
    return { lessons: [{ id: box.getAttribute("data-wy-steps"), steps: steps }], items: items };
  }

  function itemsOf(section) { return section.getAttribute("data-wy-items").split(" ").filter(Boolean); }

  function itemOf(id) {
    var box = document.querySelector("wy-item[item='" + id + "']");
    return { id: id, skill: box ? box.getAttribute("data-skill") : "", critical: Boolean(box && box.hasAttribute("data-critical")) };
  }

  function addressed() { return document.getElementById(decodeURIComponent(location.hash.slice(1))); }

  /* A closed step is no region: it would be named and hold nothing. */
  function close(section, closed) {
    section.setAttribute("hidden", closed);
    section.removeAttribute("aria-labelledby");
  }

  function unclose(section) {
    section.removeAttribute("hidden");
    section.setAttribute("aria-labelledby", section.id + "-place " + section.querySelector("h2").id);
  }

  function Steps(box) {
    var own = this;
    this.box = box;
    this.page = box.getAttribute("data-wy-steps");
    this.sections = all(box, "section[data-wy-step]");
    this.progress = box.querySelector(".wy-progress");
    this.at = -1;
    /* A closed step stays findable by the browser's own search where it can be. */
    this.closed = "onbeforematch" in box ? "until-found" : "";
    this.sections.forEach(function (section, at) {
      section.querySelector("h2").tabIndex = -1;
      section.addEventListener("beforematch", function () { own.found(at); });
      all(section, "[data-wy-done]").forEach(function (link) {
        link.addEventListener("click", function () { own.done(section); });
      });
    });
    window.addEventListener("hashchange", function () { own.follow(true); });
    document.addEventListener("wy-record", WY.afterPaint(function () { own.showStates(); }));
    document.addEventListener("click", function (event) { own.closeList(event); });
    this.progress.addEventListener("keydown", function (event) {
      if (event.key === "Escape" && own.progress.open) {
        own.progress.open = false;
        own.progress.querySelector("summary").focus();
      }
    });
    if (!this.follow(false)) { this.open(this.whereStopped()); }
    box.classList.add("wy-lesson-steps--ready");
    this.showStates();
  }

  /* The list of steps lies over the page, so a tap beside it or on a step closes it. */
  Steps.prototype.closeList = function (event) {
    var inside = this.progress.contains(event.target);
    if (this.progress.open && (!inside || event.target.closest("a"))) { this.progress.open = false; }
  };

  /* Opens the step that holds the place which the address names, and goes there. */
  Steps.prototype.follow = function (byReader) {
    var place = addressed();
    var at = place ? this.sections.indexOf(place.closest("section[data-wy-step]")) : -1;
    var fold = place && place.closest("details");
    if (fold) { fold.open = true; }
    if (at < 0) { return false; }
    this.open(at);
    this.goTo(place, this.sections[at], byReader);
    return true;
  };

  Steps.prototype.goTo = function (place, section, byReader) {
    var heading = section.querySelector("h2");
    var isStep = place === section || place === heading;
    (isStep ? section : place).scrollIntoView({ block: "start" });
    if (byReader || isStep) { (isStep ? heading : place).focus({ preventScroll: true }); }
  };

  Steps.prototype.open = function (at) {
    if (at === this.at) { return; }
    var closed = this.closed;
    this.at = at;
    this.sections.forEach(function (section, number) {
      if (number === at) { unclose(section); } else { close(section, closed); }
    });
    this.showPlace();
    var record = parts().record;
    if (record && record.stopped) { record.stopped({ page: this.page, step: this.idOf(at) }); }
  };

  /* Found by the browser: by its search, or on the way to a place, which the address names already. */
  Steps.prototype.found = function (at) {
    this.open(at);
    if (!this.sections[at].contains(addressed())) { history.replaceState(null, "", "#step-" + this.idOf(at)); }
  };

  Steps.prototype.idOf = function (at) { return this.sections[at].getAttribute("data-wy-step"); };

  /* Gone on from. Where the step asks something, only an answer counts it as seen. */
  Steps.prototype.done = function (section) {
    var record = parts().record;
    if (record && record.sawStep) { record.sawStep(this.page, section.getAttribute("data-wy-step")); }
  };

  /* Without a place in the address the reader goes on where this page was left; a page that was ended begins anew. */
  Steps.prototype.whereStopped = function () {
    var record = parts().record;
    var stopped = record && record.stopped && record.load().stopped;
    var own = this;
    var found = this.sections.findIndex(function (section, at) {
      return stopped && stopped.step === own.page + "#" + own.idOf(at);
    });
    return found > 0 && found < this.sections.length - 1 ? found : 0;
  };

  Steps.prototype.showPlace = function () {
    var at = this.at;
    this.progress.querySelector("[data-wy-place]").textContent = WY.word("step.place", { number: at + 1, count: this.sections.length });
    all(this.progress, "i").forEach(function (mark, number) {
      mark.className = number < at ? "wy-progress--past" : number === at ? "wy-progress--here" : "";
    });
    all(this.progress, "a").forEach(function (link, number) {
      if (number === at) { link.setAttribute("aria-current", "step"); } else { link.removeAttribute("aria-current"); }
    });
  };

  Steps.prototype.showStates = function () {
    var own = this;
    all(this.box, "[data-wy-step-of]").forEach(function (row) {
      var place = row.matches("[data-wy-step-state]") ? row : row.querySelector("[data-wy-step-state]");
      var word = standing(own.box, row.getAttribute("data-wy-step-of"));
      place.textContent = word ? WY.word("step." + word) : "";
      place.setAttribute("data-wy-is", word);
    });
    if (parts().standing) { this.sections.forEach(function (section) { own.nameWay(section); }); }
  };

  /* How many critical problems of the lesson were missed last, and the step that teaches the first of them. */
  Steps.prototype.missed = function () {
    var own = parts();
    var plan = WY.plan || planOf(this.box);
    var record = own.record.load();
    var found = {};
    var first = null;
    this.sections.forEach(function (section) {
      var items = own.standing.missed(record, plan, this.page, section.getAttribute("data-wy-step"));
      items.forEach(function (id) { found[id] = true; });
      if (items.length && !first) { first = (own.sheets && own.sheets.stepOf({ item: items[0] })) || section; }
    }, this);
    return { count: Object.keys(found).length, first: first };
  };

  /* The button of a step whose problems were left says so, and is no louder than the problems. That of the last step leads
     on only when no critical problem of the lesson is missed. */
  Steps.prototype.nameWay = function (section) {
    var step = section.getAttribute("data-wy-step");
    var isLast = section === this.sections[this.sections.length - 1];
    var missed = isLast ? this.missed() : { count: 0, first: null };
    var isOpen = !missed.count && itemsOf(section).length > 0 && standing(this.box, step) === "";
    all(section, "[data-wy-done]").forEach(function (link) {
      if (!link.wyDone) { link.wyDone = { text: link.textContent, href: link.getAttribute("href") }; }
      var count = WY.word("step.critical_first" + (missed.count === 1 ? "_one" : ""), missed);
      link.textContent = missed.count ? count : isOpen ? WY.word("step.unanswered") : link.wyDone.text;
      link.setAttribute("href", missed.first ? "#" + missed.first.id : link.wyDone.href);
      link.classList.toggle("wy-step__on--quiet", isOpen);
    });
  };

  function start() { all(document, "[data-wy-steps]").forEach(function (box) { new Steps(box); }); }

  WY.whenReady(start);
})();
