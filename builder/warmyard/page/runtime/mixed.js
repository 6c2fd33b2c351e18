// Mixed practice: one problem at a time; what is due first, then problems of all lessons in turn.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  function Mixed(root) {
    this.root = root;
    this.only = WY.choosing.only(WY.plan, location.hash.slice(1));
    this.asked = [];
    this.answered = 0;
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
    WY.add(this.root, [this.chooser(), this.state, this.about, this.place, WY.element("div", { class: "wy-actions" }, this.more)]);
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
    var chosen = WY.choosing.next(this.plan(), WY.record.load(), WY.today(), this.only ? "all" : this.scope, this.asked, Math.random);
    this.say();
    if (!chosen) {
      this.about.textContent = WY.word("mixed.none");
      this.place.replaceChildren();
      this.more.hidden = true;
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
    }
    this.more.hidden = false;
    this.asked.push(chosen.item.id);
    this.show(chosen, takeFocus);
  };

  Mixed.prototype.show = function (chosen, takeFocus) {
    var about = WY.word(chosen.due ? "mixed.due" : "mixed.turn", { skill: WY.plan.skills[chosen.item.skill] });
    this.about.textContent = about;
    var box = WY.element("wy-item", { item: chosen.item.id });
    this.place.replaceChildren(box);
    var variants = WY.variants(chosen.item.id);
    box.at = Math.floor(Math.random() * variants.length);
    box.show(takeFocus);
    if (takeFocus) {
      WY.announce(about);
    }
  };

  WY.whenReady(function () {
    document.querySelectorAll("[data-wy-mixed]").forEach(function (root) {
      var mixed = new Mixed(root);
      document.addEventListener("wy-answered", function () {
        mixed.answered += 1;
        mixed.say();
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
