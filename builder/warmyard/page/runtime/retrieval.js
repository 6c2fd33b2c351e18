// A lesson opens with three questions from the lessons before it: what is due first. Fetched when the reader wants them.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var COUNT = 3;

  // Three items of earlier lessons, each of another skill while there are others.
  WY.earlierItems = function (plan, record, lesson, today, random) {
    var skills = {};
    plan.lessons.some(function (one) {
      if (one.id !== lesson) {
        one.skills.forEach(function (skill) {
          skills[skill] = plan.skills[skill];
        });
      }
      return one.id === lesson;
    });
    var own = Object.assign({}, plan, {
      skills: skills,
      items: plan.items.filter(function (item) {
        return skills[item.skill] !== undefined;
      }),
    });
    var chosen = [];
    while (chosen.length < Math.min(COUNT, own.items.length)) {
      var asked = chosen.map(function (item) {
        return item.id;
      });
      var rest = own.items.filter(function (item) {
        return chosen.every(function (other) {
          return other.skill !== item.skill;
        });
      });
      var from = rest.length ? Object.assign({}, own, { items: rest, skills: skillsOf(rest, skills) }) : own;
      chosen.push(WY.choosing.next(from, record, today, "all", asked, random).item);
    }
    return chosen;
  };

  function skillsOf(items, skills) {
    var found = {};
    items.forEach(function (item) {
      found[item.skill] = skills[item.skill];
    });
    return found;
  }

  async function open(root, button) {
    button.disabled = true;
    try {
      await WY.fetchPlan();
      var lesson = root.getAttribute("data-wy-retrieval");
      var items = WY.earlierItems(WY.plan, WY.record.load(), lesson, WY.today(), Math.random);
      await WY.fetchItems(items);
      button.remove();
      items.forEach(function (item, at) {
        var box = WY.element("wy-item", { item: item.id });
        root.append(box);
        var variants = WY.variants(item.id);
        box.at = Math.floor(Math.random() * variants.length);
        box.show(at === 0);
      });
    } catch (problem) {
      button.disabled = false;
      root.querySelector("[role=status]").textContent = WY.word("mixed.missing");
    }
  }

  WY.whenReady(function () {
    document.querySelectorAll("[data-wy-retrieval]").forEach(function (root) {
      /** @type {any} */
      var button = root.querySelector("button");
      button.addEventListener("click", function () {
        open(root, button);
      });
    });
  });
})();
