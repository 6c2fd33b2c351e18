// The walk through a fault case and its mark, as marking.py gives them.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var marking = WY.marking;
  var WEIGHTS = { cause: 0.5, time: 0.2, parts: 0.1, behind: 0.2 };
  var LONGEST_PATH = 200;
  var MOVE = "to:";

  function minutesTo(ladder, from, to) {
    var row = ladder[from] || {};
    return Object.prototype.hasOwnProperty.call(row, to) ? row[to] : null;
  }

  // A path walked to its end or to the first step that must not be taken. Without a key (in a paper) nothing stops it
  // but a step that is not there.
  function walk(faults, key, path) {
    var ladder = key ? key.ladder : faults.ladder;
    var state = { minutes: 0, taken: [], standing: faults.starts_at, stopped_by: "", check: "", why: "", out_of_reach: "" };
    path.slice(0, LONGEST_PATH).every(function (step) {
      return walkStep(faults, key, ladder, state, step);
    });
    return state;
  }

  // Takes one step, and says whether the walk goes on.
  function walkStep(faults, key, ladder, state, step) {
    if (step.slice(0, MOVE.length) === MOVE) {
      var to = step.slice(MOVE.length);
      return minutesTo(ladder, state.standing, to) === null ? stop(state, step, "unknown", "") : climb(ladder, state, to);
    }
    var check = find(faults.checks, step);
    if (!check) {
      return stop(state, step, "unknown", "");
    }
    if (isOutOfReach(faults, state.standing, minutesTo(ladder, state.standing, check.needs))) {
      state.out_of_reach = step;
      return true;
    }
    var stopped = key ? stoppedBy(faults, key, check, minutesTo(ladder, state.standing, check.needs), state.taken) : null;
    state.taken.push(step);
    if (stopped) {
      return stop(state, step, stopped[0], stopped[1]);
    }
    if (key && key.cannot.indexOf(step) >= 0) {
      return true;
    }
    state.minutes += check.minutes;
    climb(ladder, state, check.needs);
    return check.then ? climb(ladder, state, check.then) : true;
  }

  // Whether a check cannot be done from here: nothing is touched where a call comes in.
  function isOutOfReach(faults, standing, cost) {
    var first = (faults.standings || [])[0];
    return cost !== 0 && Boolean(first) && standing === first.id;
  }

  function stop(state, step, by, why) {
    Object.assign(state, { stopped_by: by, check: step, why: why });
    return false;
  }

  // Stands where `to` says, for its minutes; stays where no way leads there or none is needed.
  function climb(ladder, state, to) {
    var cost = minutesTo(ladder, state.standing, to) || 0;
    state.standing = cost ? to : state.standing;
    state.minutes += cost;
    return true;
  }

  function find(list, id) {
    return (list || []).filter(function (one) {
      return one.id === id;
    })[0];
  }

  function stoppedBy(faults, key, check, cost, taken) {
    if (key.forbidden.indexOf(check.id) >= 0) {
      return ["forbidden", key.forbidden_reasons[check.id] || ""];
    }
    if (check.level > faults.level) {
      return ["level", ""];
    }
    if (cost !== 0) {
      return ["early", ""];
    }
    var bar = check.live
      ? key.bars.filter(function (one) {
          return barHolds(one, faults, key, taken);
        })[0]
      : null;
    return bar ? ["barred", bar.say] : null;
  }

  // Whether a start is barred: what clears the bar was not seen normal since it began to hold.
  function barHolds(bar, faults, key, taken) {
    var started = !bar.after_start;
    var missing = bar.clear_by.slice();
    taken.forEach(function (id) {
      if (missing.indexOf(id) >= 0 && key.normal.indexOf(id) >= 0) {
        missing.splice(missing.indexOf(id), 1);
        started = started && missing.length > 0;
      } else if (bar.after_start && find(faults.checks, id).live && key.cannot.indexOf(id) < 0) {
        started = true;
        missing = bar.clear_by.slice();
      }
    });
    return started && missing.length > 0;
  }

  function faultCase(question, key, response) {
    var faults = question.case;
    var path = response.path;
    var plain =
      faults &&
      Array.isArray(path) &&
      path.every(function (step) {
        return typeof step === "string";
      });
    if (!plain) {
      return marking.notUnderstood(marking.word("case_path"));
    }
    var walked = walk(faults, key, path);
    if (walked.stopped_by === "unknown") {
      return marking.notUnderstood(marking.word("case_path"));
    }
    if (walked.stopped_by) {
      var more = { slip: walked.check, critical_fail: true };
      return marking.made(false, 0, stopReason(faults, walked), more);
    }
    if (marking.ids(faults.causes).indexOf(response.cause) < 0) {
      return marking.notUnderstood(marking.word("case_no_cause"));
    }
    return scored(faults, key, walked, response);
  }

  function stopReason(faults, walked) {
    var check = find(faults.checks, walked.check);
    var needs = marking.texts(faults.standings)[check.needs] || check.needs;
    var parts = { check: marking.bare(check.text), needs: needs, level: check.level, why: walked.why };
    return marking.word("case_" + walked.stopped_by, parts);
  }

  function scored(faults, key, walked, response) {
    var found = response.cause === key.cause;
    var behind = !key.behind || response.behind === key.behind;
    var fit = !faults.fit.length || response.fit === key.fit;
    var wasted = wastedParts(key, walked.taken.concat([response.cause]));
    var proved = wasProved(key, walked.taken);
    var reason = caseReason(faults, key, walked, { found: found, guess: found && !proved, behind: behind, fit: fit, wasted: wasted });
    if (!found) {
      return marking.made(false, 0, reason, { slip: "cause." + response.cause });
    }
    var ratio = walked.minutes > 0 ? Math.min(1, key.best_minutes / walked.minutes) : 1;
    var earned = { cause: 1, time: proved ? ratio : 0, parts: wasted.length ? 0 : 1, behind: behind ? 1 : 0 };
    return marking.made(proved && behind && fit && !wasted.length, shareOf(earned, key.behind), reason, { slip: "" });
  }

  // The names of the parts that were fitted and were sound.
  function wastedParts(key, fitted) {
    return fitted
      .filter(function (one) {
        return one in key.parts;
      })
      .map(function (one) {
        return key.parts[one];
      });
  }

  function wasProved(key, taken) {
    var proves = key.proves || [];
    return (
      !proves.length ||
      taken.some(function (one) {
        return proves.indexOf(one) >= 0;
      })
    );
  }

  // The weighed share of what was earned; where nothing lies behind the cause that weight is left out.
  function shareOf(earned, behind) {
    var names = Object.keys(WEIGHTS).filter(function (name) {
      return name !== "behind" || behind;
    });
    var sum = 0;
    var all = 0;
    names.forEach(function (name) {
      sum += WEIGHTS[name] * earned[name];
      all += WEIGHTS[name];
    });
    return sum / all;
  }

  function caseReason(faults, key, walked, what) {
    var names = Object.assign(marking.texts(faults.causes), marking.texts(faults.behind));
    var parts = { cause: names[key.cause], minutes: plain(walked.minutes), best: plain(key.best_minutes) };
    var reasons = [marking.word(what.found ? "case_right" : "case_wrong", parts)];
    if (what.guess) {
      reasons.push(marking.word("case_guess"));
    }
    if (!what.behind) {
      reasons.push(marking.word("case_behind", { behind: names[key.behind] || key.behind }));
    }
    if (!what.fit) {
      reasons.push(marking.word("case_fit", { fit: marking.texts(faults.fit)[key.fit] || "" }));
    }
    if (what.wasted.length) {
      reasons.push(marking.word("case_parts", { parts: what.wasted.join(", ") }));
    }
    return reasons.join(" ");
  }

  // Minutes as Python's %g writes them, as far as minutes go.
  function plain(minutes) {
    return String(Number(minutes.toPrecision(6)));
  }

  marking.ways.case = faultCase;
  WY.cases = { walk: walk, minutesTo: minutesTo };
})();
