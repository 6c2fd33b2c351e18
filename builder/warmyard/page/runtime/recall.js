// What comes back when: how well a skill is kept today, by the open FSRS model over the skill's answers (vendored/fsrs.js,
// its published parameters). Every answer counts, under the skill that it was asked under.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  // A skill is due when the share of its recall is expected to have come down to this.
  var WANTED = 0.9;
  // Until a record holds this many answers, days between two tries grow by a fixed row: the model knows nobody yet.
  var FIRST_ANSWERS = 10;
  var FIRST_DAYS = [1, 2, 4, 8];
  // The ratings of the model. "Easy" (4) is never given: a quick right answer may be a guess.
  var AGAIN = 1;
  var HARD = 2;
  var GOOD = 3;
  var DAY_MS = 86400000;
  /** @type {any} */
  var model = null;
  var indexes = new WeakMap();

  // How an answer is rated: wrong, or the whole answer was shown: again. Right with a hint or at a later try: hard.
  // Right at once: good.
  function rating(answer) {
    if (!answer.right || answer.shown) {
      return AGAIN;
    }
    return answer.hints > 0 || answer.tries > 1 ? HARD : GOOD;
  }

  function fsrs() {
    if (!model) {
      model = new WY.fsrs.FSRSAlgorithm(WY.fsrs.generatorParameters({ request_retention: WANTED, enable_fuzz: false }));
    }
    return model;
  }

  // Whole days from one day to another, never less than 0: a clock that was put back takes nothing away.
  function daysBetween(from, to) {
    return Math.max(0, Math.round((Date.parse(to) - Date.parse(from)) / DAY_MS));
  }

  function dayAfter(day, days) {
    return new Date(Date.parse(day) + days * DAY_MS).toISOString().slice(0, 10);
  }

  // The memory after a review on a day: {on, stability, difficulty}, stability in days; `before` is null at the first.
  function after(before, day, rated) {
    var days = before ? daysBetween(before.on, day) : 0;
    var made = fsrs().next_state(before, days, rated);
    return { on: before && before.on > day ? before.on : day, stability: made.stability, difficulty: made.difficulty };
  }

  // Days from the last review to the day on which the share of recall has come down to what is wanted, at least 1.
  function interval(stability) {
    return fsrs().next_interval(stability, 0);
  }

  // The share of recall some days after a review.
  function share(days, stability) {
    return fsrs().forgetting_curve(days, stability);
  }

  // The answers of a record by their skill; what was added since is put in, and only its skill is worked out again.
  function indexOf(record) {
    var found = indexes.get(record);
    if (!found || found.answers !== record.answers || found.length > record.answers.length) {
      found = { answers: record.answers, length: 0, skills: new Map(), states: new Map() };
      indexes.set(record, found);
    }
    record.answers.slice(found.length).forEach(function (answer) {
      var list = found.skills.get(answer.skill) || [];
      list.push(answer);
      found.skills.set(answer.skill, list);
      found.states.delete(answer.skill);
    });
    found.length = record.answers.length;
    return found;
  }

  function answersOf(record, skill) {
    var list = indexOf(record).skills.get(skill) || [];
    return list.slice().sort(function (one, other) {
      return one.at - other.at;
    });
  }

  // Where a skill's memory stands: {on, stability, difficulty, answers, right (last time), streak}; null: never asked.
  function stateOf(record, skill) {
    var states = indexOf(record).states;
    if (!states.has(skill)) {
      states.set(skill, worked(answersOf(record, skill), (record.states || {})[skill]));
    }
    return states.get(skill);
  }

  // A state from another device is a start where that device knew of more answers than stand here up to then.
  function worked(answers, moved) {
    var since = answers.filter(function (answer) {
      return moved && answer.at > moved.at;
    });
    var known = moved && answers.length - since.length < moved.answers;
    var start = known ? { memory: moved, answers: moved.answers, right: moved.right, streak: moved.right ? 1 : 0 } : null;
    return (known ? since : answers).reduce(function (before, answer) {
      var right = rating(answer) !== AGAIN;
      return {
        memory: after(before && before.memory, answer.day, rating(answer)),
        answers: (before ? before.answers : 0) + 1,
        right: right,
        streak: right ? (before ? before.streak : 0) + 1 : 0,
      };
    }, start);
  }

  // All answers that a record knows of, those of other devices' states too.
  function answersIn(record) {
    return Object.keys(record.states || {}).reduce(function (sum, skill) {
      return sum + record.states[skill].answers;
    }, record.answers.length);
  }

  // A skill that was missed comes back on the next day, whatever the model thinks of it.
  function daysUntil(record, state) {
    if (!state.right) {
      return 1;
    }
    if (answersIn(record) < FIRST_ANSWERS) {
      return FIRST_DAYS[Math.min(state.streak, FIRST_DAYS.length) - 1];
    }
    return interval(state.memory.stability);
  }

  // A skill today: {share of recall 0 to 1, due: its day or "", answers: how many, right: last time}.
  function ofSkill(record, skill, today) {
    var state = stateOf(record, skill);
    if (!state) {
      return { share: 0, due: "", answers: 0, right: false };
    }
    return {
      share: share(daysBetween(state.memory.on, today), state.memory.stability),
      due: dayAfter(state.memory.on, daysUntil(record, state)),
      answers: state.answers,
      right: state.right,
    };
  }

  function isDue(record, skill, today) {
    var found = ofSkill(record, skill, today);
    return found.answers > 0 && found.due <= today;
  }

  // Every skill that is due today, whether the course still asks it or not.
  function dueSkills(record, today) {
    return Array.from(indexOf(record).skills.keys())
      .concat(Object.keys(record.states || {}))
      .filter(function (skill, at, all) {
        return all.indexOf(skill) === at && isDue(record, skill, today);
      });
  }

  // The skills that the papers of a level can ask for, by id: {critical: true where an item of it is}. No level: all.
  function needed(plan, level) {
    var papers = (plan.papers || []).filter(function (paper) {
      return paper.level === level;
    });
    var made = {};
    plan.items.forEach(function (item) {
      var wanted = !level || papers.some(asks(item));
      if (wanted) {
        made[item.skill] = { critical: item.critical || Boolean(made[item.skill] && made[item.skill].critical) };
      }
    });
    return made;
  }

  function asks(item) {
    return function (paper) {
      return isFor(item, paper) && paper.cells.some(fits.bind(null, item));
    };
  }

  // An item may stand in a paper whose readers are taught it and may look into it.
  function isFor(item, paper) {
    return item.audience.indexOf(paper.audience) >= 0 && item.level <= paper.level;
  }

  // An item fits a cell of a paper's blueprint.
  function fits(item, cell) {
    var kind = !cell.kinds.length || cell.kinds.indexOf(item.kind) >= 0;
    return item.duty === cell.duty && item.demand === cell.demand && kind;
  }

  // What is due today, in the order in which to ask it: what the level needs before the rest, then the lowest recall, in
  // whole hundredths, then what is critical. Each: {skill, share, due, answers, right, needed, critical}.
  function due(plan, record, today, level) {
    var wanted = needed(plan, level);
    var every = needed(plan, 0);
    return Object.keys(plan.skills)
      .filter(function (skill) {
        return isDue(record, skill, today);
      })
      .map(function (skill) {
        var critical = Boolean(every[skill] && every[skill].critical);
        return Object.assign({ skill: skill, needed: skill in wanted, critical: critical }, ofSkill(record, skill, today));
      })
      .sort(inOrder);
  }

  function inOrder(one, other) {
    return (
      Number(other.needed) - Number(one.needed) ||
      Math.round(one.share * 100) - Math.round(other.share * 100) ||
      Number(other.critical) - Number(one.critical) ||
      (one.skill < other.skill ? -1 : 1)
    );
  }

  WY.recall = {
    ofSkill: ofSkill,
    isDue: isDue,
    due: due,
    dueSkills: dueSkills,
    needed: needed,
    fits: fits,
    isFor: isFor,
    rating: rating,
    after: after,
    interval: interval,
    share: share,
    stateOf: stateOf,
    answersIn: answersIn,
    dayAfter: dayAfter,
    WANTED: WANTED,
  };
})();
