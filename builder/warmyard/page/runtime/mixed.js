// Mixed practice: one problem at a time; what is due first, then problems of all lessons in turn. After about ten comes
// an end, with what was gained.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  var SESSION = 10;
  var MOST_NAMED = 3;

  function Mixed(root) {
    this.root = root;
    this.only = WY.choosing.only(WY.plan, location.hash.slice(1));
    this.asked = [];
    this.answered = 0;
    this.session = session();
    this.waiting = false;
    this.scope = WY.choosing.doneLessons(WY.plan, WY.record.load()).length ? "done" : "all";
    this.build();
    this.next(false);
  }

  Mixed.prototype.build = function () {
    var own = this;
    this.state = WY.element("p", { class: "wy-mixed__state", role: "status" });
    this.about = WY.element("p", { class: "wy-mixed__about" });
    this.place = WY.element("div", { class: "wy-mixed__place" });
    this.more = WY.button("mixed.next", function () {
      own.next(true);
    });
    this.more.hidden = true;
    // What can be chosen comes with the first problem: standing there before, it would be pushed down by it.
    this.choice = this.chooser();
    this.choice.hidden = !this.only;
    var about = [this.state, this.about, this.place, WY.element("div", { class: "wy-actions" }, this.more)];
    WY.add(this.root, this.only ? [this.choice, about] : [about, this.choice]);
  };

  // The plan, or what is left of it where the address asks for one skill or one sort alone.
  Mixed.prototype.plan = function () {
    return this.only ? this.only.plan : WY.plan;
  };

  Mixed.prototype.chooser = function () {
    var own = this;
    if (this.only) {
      var link = WY.element("a", { href: location.pathname.split("/").pop() }, WY.word("mixed.only_off"));
      return WY.element("p", { class: "wy-mixed__only" }, WY.word("mixed.only", { what: this.only.what() }) + " ", link);
    }
    var choices = ["done", "all"].map(function (scope) {
      return { value: scope, text: WY.word("mixed.scope_" + scope) };
    });
    return WY.pick(WY.word("mixed.scope"), choices, this.scope, function (scope) {
      own.scope = scope;
      own.next(false);
    });
  };

  // What a session begins with: which skills were due, so that its end can say what came back for good today.
  function session() {
    var due = WY.choosing.dueSkills(WY.plan, WY.record.load(), WY.today());
    return { due: due, count: 0, right: 0, missed: {} };
  }

  Mixed.prototype.noted = function (right) {
    this.answered += 1;
    this.session.count += 1;
    this.session.right += right ? 1 : 0;
    if (!right && this.skill) {
      this.session.missed[this.skill] = true;
    }
    this.more.textContent = WY.word(this.session.count < SESSION ? "mixed.next" : "mixed.to_end");
    this.say();
  };

  // The end of a session: how many were right, what is done for today, and what comes back.
  Mixed.prototype.end = function () {
    var own = this;
    var now = WY.choosing.dueSkills(WY.plan, WY.record.load(), WY.today());
    var gained = this.session.due.filter(function (skill) {
      return now.indexOf(skill) < 0 && !own.session.missed[skill];
    });
    var missed = Object.keys(this.session.missed).map(function (skill) {
      return WY.plan.skills[skill];
    });
    var heading = WY.element("h2", { tabindex: "-1" }, WY.word("mixed.end", this.session));
    var lines = [
      gained.length ? WY.word("mixed.gained", { count: gained.length }) : "",
      missed.length ? WY.word("mixed.missed", { skills: missed.slice(0, MOST_NAMED).join("; ") }) : WY.word("mixed.none_missed"),
    ].filter(Boolean);
    this.about.textContent = "";
    this.place.replaceChildren();
    WY.add(this.place, [heading, lines.map(function (line) {
      return WY.element("p", {}, line);
    }), WY.element("p", {}, WY.element("a", { href: "index.html" }, WY.word("today.heading")))]);
    this.session = session();
    this.more.textContent = WY.word("mixed.more");
    heading.focus();
    this.say();
  };

  // The problem that the address asks for, such as practice.html#ask-ITEM: the first of a visit.
  Mixed.prototype.wanted = function () {
    var place = this.asked.length ? "" : location.hash;
    var item = WY.plan.items.filter(function (one) {
      return place === "#ask-" + one.id;
    })[0];
    return item ? { item: item, due: false, again: false } : null;
  };

  Mixed.prototype.say = function () {
    var due = WY.choosing.dueSkills(WY.plan, WY.record.load(), WY.today()).length;
    this.state.textContent = [
      WY.record.dueLine(due),
      this.answered ? WY.word("mixed.answered", { count: this.answered }) : "",
    ].join(" ").trim();
  };

  Mixed.prototype.next = async function (takeFocus) {
    if (this.waiting) {
      return;
    }
    if (this.session.count >= SESSION) {
      this.end();
      return;
    }
    var scope = this.only ? "all" : this.scope;
    var chosen =
      this.wanted() || WY.choosing.next(this.plan(), WY.record.load(), WY.today(), scope, this.asked, Math.random);
    this.say();
    if (!chosen) {
      this.about.textContent = WY.word("mixed.none");
      this.place.replaceChildren();
      this.more.hidden = true;
      this.choice.hidden = false;
      return;
    }
    this.waiting = true;
    try {
      await WY.fetchItems([chosen.item]);
    } catch (problem) {
      this.about.textContent = WY.word("mixed.missing");
      return;
    } finally {
      this.waiting = false;
      this.choice.hidden = false;
    }
    this.more.hidden = false;
    this.more.textContent = WY.word("mixed.next");
    this.skill = chosen.item.skill;
    this.asked.push(chosen.item.id);
    this.show(chosen, takeFocus);
  };

  Mixed.prototype.show = function (chosen, takeFocus) {
    var word = chosen.again ? "mixed.again" : chosen.due ? "mixed.due" : "mixed.turn";
    var about = WY.word(word, { skill: WY.plan.skills[chosen.item.skill] });
    this.about.textContent = about;
    WY.add(this.about, [chosen.again ? wayTo(chosen.item.id) : null]);
    var box = WY.element("wy-item", { item: chosen.item.id });
    this.place.replaceChildren(box);
    var variants = WY.variants(chosen.item.id);
    box.at = Math.floor(Math.random() * variants.length);
    box.show(takeFocus);
    if (takeFocus) {
      WY.announce(about);
    }
  };

  // The way to the step that teaches a problem; null where no step asks it.
  function wayTo(item) {
    /** @type {any} */
    var found = null;
    WY.plan.lessons.forEach(function (lesson) {
      lesson.steps.forEach(function (step) {
        if (!found && step.items.indexOf(item) >= 0) {
          found = WY.element("a", { href: lesson.url + "#step-" + step.id, class: "wy-block" }, WY.word("record.again_here") + " " + step.title);
        }
      });
    });
    return found;
  }

  WY.whenReady(function () {
    document.querySelectorAll("[data-wy-mixed]").forEach(function (root) {
      var mixed = new Mixed(root);
      document.addEventListener("wy-answered", function (/** @type {any} */ event) {
        mixed.noted(event.detail === true);
      });
      document.addEventListener("wy-record", function () {
        mixed.say();
      });
      window.addEventListener("hashchange", function () {
        location.reload();
      });
    });
  });
})();
