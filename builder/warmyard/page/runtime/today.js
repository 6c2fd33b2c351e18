// The start page: one sum for who is new, what to do now for who was here, and how far each lesson is.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var HOUR = 60;
  var LONG = 120;

  function all(box, selector) {
    return Array.prototype.slice.call(box.querySelectorAll(selector));
  }

  function time(minutes) {
    return minutes < LONG
      ? WY.word("today.minutes", { count: Math.round(minutes) })
      : WY.word("today.hours", { count: Math.round(minutes / HOUR) });
  }

  // Of the sums that the author named one stands here, with numbers of this visit.
  function keepOne(box) {
    var items = all(box, "wy-item");
    var kept = items[Math.floor(Math.random() * items.length)];
    items.forEach(function (item) {
      if (item !== kept) {
        item.remove();
      }
    });
    return kept;
  }

  // The keys for a finger come when the box is touched: until then question, box and caution share the first screen.
  function keysWhenTouched(sum) {
    sum.addEventListener("focusin", function (event) {
      if (event.target.tagName === "INPUT") {
        sum.classList.add("wy-typing");
      }
    });
  }

  async function drawAnew(item) {
    var id = item.getAttribute("item");
    try {
      await WY.fetchItems([{ id: id }]);
    } catch (problem) {
      return;
    }
    if (!item.isConnected) {
      return;
    }
    item.variants = WY.variants(id);
    item.at = Math.floor(Math.random() * item.variants.length);
    item.show(false);
  }

  // What an entry is called: its own title, or how many there are.
  function titleOf(entry) {
    return entry.title || WY.word("today.title_" + entry.kind + (entry.count === 1 ? "_one" : ""), { count: entry.count });
  }

  function line(entry, at) {
    var tag = WY.element("span", { class: "wy-today__kind" }, WY.word("today.kind_" + entry.kind));
    var minutes = WY.element("span", { class: "wy-today__minutes" }, time(entry.minutes));
    var link = WY.element(
      "a",
      { href: entry.address, class: "wy-today__way" },
      WY.element("span", { class: "wy-today__head" }, tag, " ", minutes),
      WY.element("span", { class: "wy-today__title" }, titleOf(entry)),
      WY.element("span", { class: "wy-today__why" }, WY.word(entry.reason, { of: entry.of })),
    );
    var look = "wy-today__entry wy-today__entry--" + entry.kind + (at ? "" : " wy-today__entry--first");
    return WY.element("li", { class: look, "data-wy-kind": entry.kind }, link);
  }

  function showList(place, entries, blank) {
    var minutes = entries.reduce(function (sum, entry) {
      return sum + entry.minutes;
    }, 0);
    var heading = WY.element("h2", { id: "today" }, WY.word(blank ? "today.heading_first" : "today.heading"));
    var parts = entries.length
      ? [
        blank ? null : WY.element("p", { class: "wy-today__sum" }, WY.word("today.all", { time: time(minutes) })),
        WY.element("ol", { class: "wy-today__list" }, entries.map(line)),
      ]
      : [WY.element("p", {}, WY.word("today.none"))];
    place.replaceChildren();
    WY.add(place, [heading, parts]);
    place.removeAttribute("hidden");
  }

  // One sign for each step, and what they say in words.
  function showLesson(row, found) {
    var place = row.querySelector("[data-wy-state]");
    var signs = found.steps.map(function (step) {
      return WY.sign(step.again ? "again" : step.state);
    });
    var states = ["again", "kept", "can", "seen"].filter(function (state) {
      return found[state];
    });
    var said = states.map(function (state) {
      return WY.word("today.count_" + state, { count: found[state] });
    });
    var words = said.length ? said.join(", ") + " " + WY.word("today.of", { count: found.steps.length }) : "";
    place.replaceChildren();
    if (words) {
      WY.add(place, [WY.element("span", { class: "wy-signs" }, signs), WY.element("span", {}, words)]);
    }
    row.querySelector("[data-wy-left]").textContent = found.minutes ? time(found.minutes) : WY.word("today.nothing_left");
  }

  // The minutes that are left of a level's lessons.
  function minutesOf(lessons, level) {
    return WY.plan.lessons.reduce(function (sum, lesson) {
      return sum + (lesson.level === level ? lessons[lesson.id].minutes : 0);
    }, 0);
  }

  function showCourse(course, record, today) {
    var lessons = {};
    WY.plan.lessons.forEach(function (lesson) {
      lessons[lesson.id] = WY.todayList.ofLesson(WY.plan, record, lesson, today);
    });
    all(course, "[data-wy-lesson]").forEach(function (row) {
      showLesson(row, lessons[row.getAttribute("data-wy-lesson")]);
    });
    all(course, "[data-wy-level]").forEach(function (group) {
      var level = Number(group.getAttribute("data-wy-level"));
      var left = minutesOf(lessons, level);
      group.querySelector("[data-wy-sum]").textContent = WY.word("today.left", { time: time(left) });
    });
  }

  // What the three states are, in one line, once there is one to see.
  function explain(course, blank) {
    var place = course.querySelector("[data-wy-states]");
    place.hidden = blank;
    place.replaceChildren();
    WY.add(
      place,
      ["seen", "can", "kept"].map(function (state) {
        var means = WY.word("today.means_" + state);
        return WY.element("span", { class: "wy-course__means" }, WY.signed(state), ": " + means + ". ");
      }),
    );
  }

  function openLevel(course, level) {
    all(course, "[data-wy-level]").forEach(function (group) {
      group.open = Number(group.getAttribute("data-wy-level")) === level;
    });
  }

  // For who was here before, what to do now stands first, and a sum is one of its lines.
  function arrange(place, sum, entries) {
    var hasSum = entries.some(function (entry) {
      return entry.kind === "sum";
    });
    if (sum) {
      sum.before(place);
      if (hasSum) {
        sum.remove();
      }
    }
  }

  function start() {
    var course = document.querySelector("[data-wy-course]");
    var place = document.querySelector("[data-wy-today]");
    if (!course || !place || !WY.plan) {
      return;
    }
    var sum = document.querySelector("section.wy-practice");
    var kept = sum ? keepOne(sum) : null;
    if (sum) {
      keysWhenTouched(sum);
    }
    var came = WY.record.load();
    var blank = WY.todayList.isBlank(came);
    function show() {
      var record = WY.record.load();
      var today = WY.today();
      var isNew = WY.todayList.isBlank(record);
      var entries = WY.todayList.list(WY.plan, record, today);
      showList(place, entries, isNew);
      explain(course, isNew);
      showCourse(course, record, today);
      return entries;
    }
    var entries = show();
    openLevel(course, WY.todayList.levelOf(WY.plan, came));
    if (!blank) {
      arrange(place, sum, entries);
    }
    WY.whenReady(function () {
      if (kept) {
        drawAnew(kept);
      }
    });
    document.addEventListener("wy-record", WY.afterPaint(show));
  }

  start();
})();
