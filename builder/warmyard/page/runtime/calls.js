// Calls drawn from the machine model: a fresh one of the difficulty asked for, none again before all were played.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var LEVELS = ["easy", "middle", "hard", "written"];

  // Takes the ids of a difficulty, those played already and a number 0 to 1; returns the next id.
  function draw(ids, played, chance) {
    var fresh = ids.filter(function (id) {
      return played.indexOf(id) < 0;
    });
    var from = fresh.length ? fresh : ids;
    return from[Math.min(from.length - 1, Math.floor(chance * from.length))];
  }

  // The call to begin with: for who answered none, one that the level aimed at can work out, the lowest where none is aimed.
  function first(calls, record) {
    var all = LEVELS.reduce(function (ids, level) {
      return ids.concat(calls[level]);
    }, []);
    var isNew = !record.answers.some(function (answer) {
      return all.indexOf(answer.item) >= 0;
    });
    var guided = calls.guided || {};
    var levels = Object.keys(guided).map(Number);
    var reached = levels.filter(function (level) {
      return record.aimed && level <= record.aimed.level;
    });
    return isNew && levels.length ? guided[reached.length ? Math.max.apply(null, reached) : Math.min.apply(null, levels)] : [];
  }

  function Calls(root) {
    var own = this;
    this.level = "easy";
    this.played = [];
    this.place = WY.element("div", { class: "wy-mixed__place" });
    this.more = WY.button("calls.next", function () {
      own.next(true);
    });
    this.more.hidden = true;
    this.guided = first(WY.calls, WY.record.load());
    this.about = WY.element("p", { class: "wy-mixed__about" }, this.guided.length ? WY.word("calls.first") : "");
    // What can be chosen comes with the first call: standing there before, it would be pushed down by it.
    this.choice = this.chooser();
    this.choice.hidden = true;
    WY.add(root, [this.about, this.place, WY.element("div", { class: "wy-actions" }, this.more), this.choice]);
    this.next(false);
  }

  Calls.prototype.chooser = function () {
    var own = this;
    var choices = LEVELS.map(function (level) {
      return { value: level, text: WY.word("calls." + level, { count: WY.calls[level].length }) };
    });
    return WY.pick(WY.word("calls.difficulty"), choices, this.level, function (level) {
      own.level = level;
      own.next(false);
    });
  };

  Calls.prototype.next = async function (takeFocus) {
    var guided = this.played.length ? [] : this.guided;
    var id = draw(guided.length ? guided : WY.calls[this.level], this.played, Math.random());
    this.about.hidden = !guided.length;
    if (!id) {
      this.place.textContent = WY.word("calls.none");
      this.more.hidden = true;
      this.choice.hidden = false;
      return;
    }
    this.played.push(id);
    try {
      // The call before stays until this one is there, so that the page does not fold up in between.
      await WY.fetchItems([{ id: id }]);
    } catch (problem) {
      this.place.textContent = WY.word("mixed.missing");
      return;
    } finally {
      this.choice.hidden = false;
    }
    this.place.replaceChildren();
    var box = WY.element("wy-item", { item: id });
    this.place.append(box);
    box.show(takeFocus);
    this.more.hidden = false;
  };

  WY.drawCall = draw;
  WY.firstCalls = first;
  if (WY.whenReady) {
    WY.whenReady(function () {
      document.querySelectorAll("[data-wy-calls]").forEach(function (root) {
        root.wyCalls = new Calls(root);
      });
    });
  }
})();
