// Which problem comes next in mixed practice, and which problems make a mock paper. No page, so that it can be tested.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var RECENT = 12;

  // Lessons of the plan that have a scored set in the record.
  function doneLessons(plan, record) {
    return plan.lessons.filter(function (lesson) {
      return record.assessments.some(function (one) {
        return one.id === lesson.id;
      });
    });
  }

  function skillsOf(lessons) {
    var found = {};
    lessons.forEach(function (lesson) {
      lesson.skills.forEach(function (skill) {
        found[skill] = true;
      });
    });
    return found;
  }

  // Skills that come back today and can be asked here, in the order in which to ask them; a skill that an older course
  // knew is left in peace.
  function dueSkills(plan, record, today) {
    return WY.recall.due(plan, record, today, aimedLevel(record)).map(skillName);
  }

  function aimedLevel(record) {
    return record.aimed ? record.aimed.level : 0;
  }

  function pick(list, random) {
    return list[Math.floor(random() * list.length)];
  }

  // The item not asked for longest: never asked before any that was.
  function leastRecent(items, asked, random) {
    var best = [];
    var least = Infinity;
    items.forEach(function (item) {
      var at = asked.lastIndexOf(item.id);
      if (at < least) {
        best = [];
        least = at;
      }
      if (at === least) {
        best.push(item);
      }
    });
    return pick(best, random);
  }

  // The next problem: {item, due, again}. What is critical and was missed last before all else; then due skills,
  // the lowest recall before the others; then what was never asked and what
  // is kept least, of another duty than the last and no item of the last dozen.
  function next(plan, record, today, scope, asked, random) {
    var again = WY.standing.missedCritical(record, plan);
    var missed = plan.items.filter(function (item) {
      return again.indexOf(item.id) >= 0 && asked.indexOf(item.id) < 0;
    })[0];
    if (missed) {
      return { item: missed, due: true, again: true };
    }
    var due = dueSkills(plan, record, today).filter(function (skill) {
      return !wasPassedOver(plan, skill, asked);
    });
    if (due.length) {
      return { item: leastRecent(itemsOf(plan, due[0]), asked, random), due: true, again: false };
    }
    var items = scoped(plan, record, scope);
    var last = byId(plan, asked[asked.length - 1]);
    var fresh = items.filter(function (item) {
      return asked.slice(-RECENT).indexOf(item.id) < 0;
    });
    var others = fresh.filter(function (item) {
      return !last || item.duty !== last.duty;
    });
    var pool = others.length ? others : fresh.length ? fresh : items;
    if (!pool.length) {
      return null;
    }
    // By skill first: a skill with many items is not asked more often for that.
    var names = Object.keys(skillsOf([{ skills: pool.map(skillName) }])).sort();
    var chosen = pick(leastKept(names, record, today), random);
    var own = pool.filter(function (item) {
      return item.skill === chosen;
    });
    return { item: leastRecent(own, asked, random), due: false, again: false };
  }

  // The skills that are kept least today: those never asked, or those of the lowest recall.
  function leastKept(names, record, today) {
    var shares = names.map(function (name) {
      return WY.recall.ofSkill(record, name, today).share;
    });
    var least = Math.min.apply(null, shares);
    return names.filter(function (name, at) {
      return shares[at] === least;
    });
  }

  function skillName(item) {
    return item.skill;
  }

  function itemsOf(plan, skill) {
    return plan.items.filter(function (item) {
      return item.skill === skill;
    });
  }

  // Passed over without an answer: a due skill stays due, but does not block the way.
  function wasPassedOver(plan, skill, asked) {
    return itemsOf(plan, skill).some(function (item) {
      return asked.slice(-RECENT).indexOf(item.id) >= 0;
    });
  }

  function byId(plan, id) {
    return plan.items.filter(function (item) {
      return item.id === id;
    })[0];
  }

  // The items of a scope; of those the aimed level needs, where it needs any of them.
  function scoped(plan, record, scope) {
    var skills = scope === "done" ? skillsOf(doneLessons(plan, record)) : plan.skills;
    var items = plan.items.filter(function (item) {
      return item.skill in skills;
    });
    var needed = WY.recall.needed(plan, aimedLevel(record));
    var aimed = items.filter(function (item) {
      return item.skill in needed;
    });
    return aimed.length ? aimed : items;
  }

  // The plan narrowed to what a place in the address names, "skill-SKILL" or "only-DUTY-DEMAND": {plan, what()}; else null.
  function only(plan, place) {
    var items = plan.items.filter(function (item) {
      return place === "skill-" + item.skill || place === "only-" + item.duty + "-" + item.demand;
    });
    if (!items.length) {
      return null;
    }
    var skills = {};
    items.forEach(function (item) {
      skills[item.skill] = plan.skills[item.skill];
    });
    return {
      plan: Object.assign({}, plan, { items: items, skills: skills, papers: [] }),
      what: function () {
        var first = items[0];
        return place === "skill-" + first.skill
          ? plan.skills[first.skill]
          : WY.word("ready.cell", { duty: plan.duties[first.duty] || first.duty, demand: WY.word("mock." + first.demand) });
      },
    };
  }

  function apart(item, taken) {
    return taken.every(function (other) {
      return other.id !== item.id && item.enemies.indexOf(other.id) < 0 && other.enemies.indexOf(item.id) < 0;
    });
  }

  // A paper by the blueprint, from what its readers are taught and may look into: {items, short: [{cell, have}],
  // critical}. Scarce cells are filled first, and as many critical items as the paper asks for are sought; several
  // tries, the best is kept.
  function drawPaper(paper, items, random) {
    /** @type {any} */
    var best = null;
    var asked = items.filter(function (item) {
      return WY.recall.isFor(item, paper);
    });
    for (var attempt = 0; attempt < 40; attempt += 1) {
      var made = tryPaper(paper, asked, random);
      if (!best || made.lacks < best.lacks) {
        best = made;
      }
      if (best.lacks === 0) {
        break;
      }
    }
    return best;
  }

  function tryPaper(paper, items, random) {
    var taken = [];
    var critical = 0;
    var cells = WY.mixed(paper.cells, random).map(function (cell) {
      var fitting = items.filter(function (item) {
        return WY.recall.fits(item, cell);
      });
      return { cell: cell, pool: WY.mixed(fitting, random), have: 0 };
    });
    function fill(one, wanted) {
      one.pool.forEach(function (item) {
        if (one.have < one.cell.count && wanted(item) && apart(item, taken)) {
          taken.push(item);
          one.have += 1;
          critical += item.critical ? 1 : 0;
        }
      });
    }
    cells.forEach(function (one) {
      fill(one, function (item) {
        return item.critical && critical < paper.critical;
      });
    });
    cells.sort(function (one, other) {
      return one.pool.length - one.cell.count - (other.pool.length - other.cell.count);
    });
    cells.forEach(function (one) {
      fill(one, function (item) {
        return !item.critical;
      });
    });
    cells.forEach(function (one) {
      fill(one, function () {
        return true;
      });
    });
    var short = cells.filter(function (one) {
      return one.have < one.cell.count;
    });
    var open = short.reduce(function (sum, one) {
      return sum + one.cell.count - one.have;
    }, 0);
    return {
      items: WY.mixed(taken, random),
      short: short,
      critical: critical,
      lacks: open * 100 + Math.abs(paper.critical - critical),
    };
  }

  // The outcome by the scheme's rule: right answers against the cut, and every critical one right.
  function outcome(paper, items) {
    var right = 0;
    var critical = 0;
    var criticalRight = 0;
    items.forEach(function (item) {
      right += item.right ? 1 : 0;
      critical += item.critical ? 1 : 0;
      criticalRight += item.critical && item.right ? 1 : 0;
    });
    var reached = items.length > 0 && right * 100 >= paper.cut * items.length - 1e-9;
    return {
      right: right,
      count: items.length,
      percent: items.length ? (right * 100) / items.length : 0,
      reached: reached,
      critical: critical,
      criticalRight: criticalRight,
      passed: reached && critical === criticalRight,
    };
  }

  WY.choosing = {
    only: only,
    next: next,
    dueSkills: dueSkills,
    doneLessons: doneLessons,
    drawPaper: drawPaper,
    outcome: outcome,
    scoped: scoped,
    RECENT: RECENT,
  };
})();
