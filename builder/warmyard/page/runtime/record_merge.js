// Two records of one reader joined: no answer is lost and none counts twice, whichever is loaded into which, and however
// often. Of what can only be one (the place, the aim, a value of the machine) the later stays.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  // Of two values the one with the higher rank; of equal rank the greater text, so that the order of joining is nothing.
  function later(one, other, rank) {
    if (one === undefined || other === undefined) {
      return one === undefined ? other : one;
    }
    var first = rank(one);
    var second = rank(other);
    if (first !== second) {
      return first > second ? one : other;
    }
    return JSON.stringify(one) >= JSON.stringify(other) ? one : other;
  }

  function instant(one) {
    return one.at;
  }

  function nothing() {
    return 0;
  }

  function earlier(one, other) {
    return one === undefined || (other !== undefined && other < one) ? other : one;
  }

  // Every name of both, each with the one value that `choose` takes.
  function together(here, there, choose) {
    var made = {};
    Object.keys(Object.assign({}, here, there))
      .sort()
      .forEach(function (name) {
        made[name] = choose(own(here, name), own(there, name));
      });
    return made;
  }

  function own(values, name) {
    return values && Object.prototype.hasOwnProperty.call(values, name) ? values[name] : undefined;
  }

  // A list of both without doubles: what has the same name is one, and of two the one with the higher rank stays.
  function both(here, there, name, rank, compare) {
    var found = new Map();
    here.concat(there).forEach(function (one) {
      var key = name(one);
      found.set(key, later(found.get(key), one, rank));
    });
    return Array.from(found.values()).sort(compare);
  }

  function assessmentName(one) {
    return JSON.stringify([one.id, one.at, one.share]);
  }

  // An answer and what became of it at a second try are one: same instant, same problem.
  function answerName(one) {
    return JSON.stringify([one.day, one.at, one.item, one.skill, one.step]);
  }

  // How far a problem had come: more tries, and the whole answer shown, come later.
  function progress(one) {
    return 2 * one.tries + (one.shown ? 1 : 0);
  }

  function byTime(one, other) {
    var mine = one.at + assessmentName(one);
    var theirs = other.at + assessmentName(other);
    return mine < theirs ? -1 : mine > theirs ? 1 : 0;
  }

  WY.joinRecords = function (here, there) {
    var made = {
      format: here.format,
      seen: together(here.seen, there.seen, earlier),
      own: together(here.own, there.own, function (one, other) {
        return together(one, other, function (mine, theirs) {
          return later(mine, theirs, instant);
        });
      }),
      states: together(here.states, there.states, function (one, other) {
        return later(one, other, instant);
      }),
      assessments: both(here.assessments, there.assessments, assessmentName, nothing, byTime),
      answers: both(here.answers, there.answers, answerName, progress, WY.recordFormat.inOrder),
      stopped: later(here.stopped, there.stopped, instant),
      aimed: later(here.aimed, there.aimed, instant),
    };
    // What neither version knows: of each name one value.
    return Object.assign(
      together(WY.recordFormat.whole(here, {}), WY.recordFormat.whole(there, {}), function (one, other) {
        return later(one, other, nothing);
      }),
      made,
    );
  };
})();
