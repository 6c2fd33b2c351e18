// What is due: a skill that was missed comes back until it was right on three different days.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var DAYS = 3;

  // Notes one answer under its skill: {missed: day, days: [days on which it was right since]}.
  function note(skills, skill, right, today) {
    var known = skills[skill];
    if (!right) {
      skills[skill] = { missed: today, days: [] };
    } else if (known && known.missed && known.missed !== today && known.days.indexOf(today) < 0) {
      known.days = known.days.concat([today]).slice(0, DAYS);
    }
    return skills;
  }

  // Says where a skill stands: "open" (due now), "later" (missed, but done for today), "done", or "new".
  function state(skills, skill, today) {
    var known = skills[skill];
    if (!known || !known.missed) {
      return "new";
    }
    if (known.days.length >= DAYS) {
      return "done";
    }
    return known.missed === today || known.days.indexOf(today) >= 0 ? "later" : "open";
  }

  function list(skills, today) {
    return Object.keys(skills)
      .filter(function (skill) {
        return state(skills, skill, today) === "open";
      })
      .sort();
  }

  WY.due = { note: note, state: state, list: list, DAYS: DAYS };
})();
