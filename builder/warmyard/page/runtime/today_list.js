// What to do now, in order, and what of the course is left: from plan, record and day alone. No page, so that it can be
// tested. Each entry says its kind, title, address, minutes, and by a word's id why it comes.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var MOST = 6;
  var MOST_AGAIN = 2;
  var SESSION = 10;
  var PROBLEM_MINUTES = 1.5;
  var CALL_MINUTES = 6;
  var PRACTICE = "practice.html";
  var CALLS = "calls.html";
  var WHOLE = "whole";
  var cut = new WeakMap();

  function isDone(state) {
    return state === "can" || state === "kept";
  }

  // A plan in which every lesson has steps: one that is not cut into steps is a step by itself.
  function stepped(plan) {
    if (!cut.has(plan)) {
      var lessons = plan.lessons.map(function (lesson) {
        var whole = { id: WHOLE, title: lesson.title, minutes: lesson.minutes, items: lesson.items };
        return lesson.steps.length ? lesson : Object.assign({}, lesson, { steps: [whole] });
      });
      cut.set(plan, Object.assign({}, plan, { lessons: lessons }));
    }
    return cut.get(plan);
  }

  // Every step of a lesson where its reader stands: {lesson, id, title, address, minutes, items, state, again}.
  function stepsOf(plan, record, lesson, today) {
    var own = stepped(plan);
    var found = WY.standing.ofLesson(record, own, lesson.id, today);
    var steps = own.lessons[plan.lessons.indexOf(lesson)].steps;
    return steps.map(function (step, at) {
      var isWhole = step.id === WHOLE;
      return {
        lesson: lesson,
        id: step.id,
        title: step.title,
        address: isWhole ? lesson.url : lesson.url + "#step-" + step.id,
        minutes: step.minutes,
        items: step.items,
        state: found[at].state,
        again: found[at].again,
      };
    });
  }

  function allSteps(plan, record, today) {
    /** @type {any[]} */
    var none = [];
    return none.concat.apply(
      none,
      plan.lessons.map(function (lesson) {
        return stepsOf(plan, record, lesson, today);
      }),
    );
  }

  // A step takes its minutes until each of its problems was right: what was only read, or asked and missed, is left.
  function minutesLeft(steps) {
    return steps.reduce(function (sum, step) {
      return sum + (isDone(step.state) && !step.again ? 0 : step.minutes);
    }, 0);
  }

  // Where a lesson stands: how many steps were seen, can be done, are kept, and the minutes left.
  function ofLesson(plan, record, lesson, today) {
    var steps = stepsOf(plan, record, lesson, today);
    function count(states) {
      return steps.filter(function (step) {
        return !step.again && states.indexOf(step.state) >= 0;
      }).length;
    }
    return {
      steps: steps,
      seen: count(["seen"]),
      can: count(["can"]),
      kept: count(["kept"]),
      done: count(["can", "kept"]),
      again: steps.filter(function (step) {
        return step.again;
      }).length,
      minutes: minutesLeft(steps),
    };
  }

  // The level that the reader works for: the one aimed at, or the lowest of the course.
  function levelOf(plan, record) {
    if (record.aimed) {
      return record.aimed.level;
    }
    return Math.min.apply(
      null,
      plan.lessons.map(function (lesson) {
        return lesson.level;
      }),
    );
  }

  function isBlank(record) {
    return !record.answers.length && !record.assessments.length && !Object.keys(record.seen).length && !record.stopped;
  }

  // The step at which the reader stopped, until all of it is right or it was begun and gone on from.
  function stoppedAt(steps, record) {
    var name = record.stopped ? record.stopped.step : "";
    return steps.filter(function (step) {
      var place = step.lesson.id + "#" + step.id;
      return (name === place || name === step.lesson.id) && !isDone(step.state) && !(step.state && place in record.seen);
    })[0];
  }

  function entry(kind, step, reason) {
    return {
      kind: kind,
      title: step.title,
      of: step.lesson.title,
      address: step.address,
      minutes: Math.max(1, Math.round(step.minutes)),
      reason: reason,
    };
  }

  // The first step in a state that is not to be learnt again: of the level aimed at, then of what comes above it.
  function firstIn(state, steps, level) {
    var open = steps.filter(function (step) {
      return step.state === state && !step.again;
    });
    var own = open.filter(function (step) {
      return step.lesson.level <= level;
    });
    return own[0] || open[0];
  }

  // One step that was not begun; when all were, one of which not every problem was right.
  function nextEntry(steps, level, reason) {
    var next = firstIn("", steps, level);
    var open = next ? null : firstIn("seen", steps, level);
    return next ? entry("step", next, reason) : open ? entry("finish", open, "today.why_finish") : null;
  }

  function dueEntry(due) {
    var count = Math.min(due.length, SESSION);
    var minutes = Math.ceil(count * PROBLEM_MINUTES);
    return { kind: "due", count: due.length, address: PRACTICE, minutes: minutes, reason: "today.why_due" };
  }

  // A sum of a step that was opened, the one not answered for longest; of two, the first in the plan.
  function sumOf(plan, record, steps) {
    var last = {};
    record.answers.forEach(function (answer) {
      last[answer.item] = answer.at;
    });
    var opened = {};
    steps.forEach(function (step) {
      if (step.state === "seen" || step.state === "can") {
        step.items.forEach(function (item) {
          opened[item] = true;
        });
      }
    });
    return plan.items
      .filter(function (item) {
        return item.sum && opened[item.id];
      })
      .sort(function (one, other) {
        return (last[one.id] || 0) - (last[other.id] || 0);
      })[0];
  }

  // What is critical and was missed last: its step, or the problem itself where no step asks it.
  function again(plan, record, steps) {
    /** @type {any[]} */
    var made = steps
      .filter(function (step) {
        return step.again;
      })
      .map(function (step) {
        return entry("again", step, "today.why_again");
      });
    var missed = WY.standing.missedCritical(record, plan);
    var alone = plan.items.filter(function (item) {
      return (
        missed.indexOf(item.id) >= 0 &&
        steps.every(function (step) {
          return step.items.indexOf(item.id) < 0;
        })
      );
    });
    return made.concat(
      alone.map(function (item) {
        return problemEntry("again", plan, item, "today.why_again_problem");
      }),
    );
  }

  function problemEntry(kind, plan, item, reason) {
    var address = PRACTICE + "#ask-" + item.id;
    return { kind: kind, title: plan.skills[item.skill], address: address, minutes: Math.max(1, Math.round(item.minutes)), reason: reason };
  }

  // The list itself; nothing where nothing was done yet: then the first step is all there is to say.
  function list(plan, record, today) {
    var steps = allSteps(plan, record, today);
    var level = levelOf(plan, record);
    var found = again(plan, record, steps).slice(0, MOST_AGAIN);
    var stopped = stoppedAt(steps, record);
    if (stopped && !stopped.again) {
      found.push(entry("stopped", stopped, "today.why_stopped"));
    }
    var due = WY.recall.due(plan, record, today, level);
    if (due.length) {
      found.push(dueEntry(due));
    }
    var others = steps.filter(function (step) {
      return step !== stopped;
    });
    found.push(nextEntry(others, level, isBlank(record) ? "today.why_first" : "today.why_step"));
    if (!isBlank(record)) {
      found = found.concat(extras(plan, record, steps));
    }
    return found.filter(Boolean).slice(0, MOST);
  }

  function extras(plan, record, steps) {
    /** @type {any[]} */
    var made = [];
    var sum = sumOf(plan, record, steps);
    if (sum) {
      made.push(problemEntry("sum", plan, sum, "today.why_sum"));
    }
    if (plan.calls) {
      made.push({ kind: "call", address: CALLS, minutes: CALL_MINUTES, reason: "today.why_call" });
    }
    return made;
  }

  // The minutes of a whole course, or of one level's lessons, that are left.
  function left(plan, record, today, level) {
    return minutesLeft(
      allSteps(plan, record, today).filter(function (step) {
        return level === undefined || step.lesson.level === level;
      }),
    );
  }

  WY.todayList = {
    list: list,
    left: left,
    ofLesson: ofLesson,
    levelOf: levelOf,
    isBlank: isBlank,
    isDone: isDone,
    MOST: MOST,
  };
})();
