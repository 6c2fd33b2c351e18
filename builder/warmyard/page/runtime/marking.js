// The mark of a response, as item/marking.py gives it; both run the cases of tests/contract/marking.json.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var WHOLE_REACH = 0.05;
  var LARGEST_SHARE = 0.02;
  var ROUNDING = 1e-9;
  var WEIGHTS = { cause: 0.5, time: 0.2, parts: 0.1, behind: 0.2 };
  var LONGEST_PATH = 200;
  var MOVE = "to:";
  // Something between thousands, or a decimal comma before three digits: nobody can tell which.
  var GROUPED = /^([-+]?[0-9]{1,3})((?:[, '\u00a0\u202f][0-9]{3})+)((?:\.[0-9]+)?(?:\s+\S{1,20})?)$/;

  function mark(variant, response) {
    var marker = { choice: choice, number: number, order: order, case: faultCase, point: point }[variant.key.type];
    return marker(variant.question, variant.key, response || {});
  }

  function made(right, share, reason, more) {
    return Object.assign(
      { right: right, share: share, reason: reason, slip: "", critical_fail: false, understood: true },
      more || {},
    );
  }

  function notUnderstood(reason) {
    return made(false, 0, reason, { understood: false });
  }

  function word(id, parts) {
    return WY.word("marking." + id, parts);
  }

  function ids(list) {
    return (list || []).map(function (one) {
      return one.id;
    });
  }

  // Texts by id, without the full stop that would stand inside quotation marks.
  function texts(list) {
    var found = {};
    (list || []).forEach(function (one) {
      found[one.id] = bare(one.text);
    });
    return found;
  }

  function bare(text) {
    return text.trim().replace(/\.$/, "");
  }

  function namedIds(value) {
    if (!Array.isArray(value)) {
      return null;
    }
    var plain = value.every(function (one) {
      return typeof one === "string";
    });
    return plain ? Array.from(new Set(value)) : null;
  }

  function choice(question, key, response) {
    var chosen = namedIds(response.chosen);
    if (!chosen || !chosen.length) {
      return notUnderstood(word("choose"));
    }
    var offered = texts(question.options);
    var strange = chosen.some(function (id) {
      return !(id in offered);
    });
    if (strange || (chosen.length > 1 && !question.several)) {
      return notUnderstood(word("unknown_answer"));
    }
    var wrong = chosen.filter(function (id) {
      return key.right.indexOf(id) < 0;
    });
    var missed = key.right.filter(function (id) {
      return chosen.indexOf(id) < 0;
    });
    if (!wrong.length && !missed.length) {
      var why = key.right.length === 1 ? key.why[key.right[0]] || "" : "";
      return made(true, 1, word("right_why", { why: why }));
    }
    var found = chosen.length - wrong.length;
    var share = question.several ? Math.max(0, (found - wrong.length) / key.right.length) : 0;
    if (wrong.length) {
      return made(false, share, key.why[wrong[0]] || "", { slip: wrong[0] });
    }
    var reason = word("missed", { text: offered[missed[0]] || "", why: key.why[missed[0]] || "" });
    return made(false, share, reason, { slip: missed[0] });
  }

  function number(question, key, response) {
    if (typeof response.text !== "string" || !response.text.trim()) {
      return notUnderstood(word("blank"));
    }
    var grouped = GROUPED.exec(response.text.trim());
    if (grouped) {
      return notUnderstood(thousands(grouped));
    }
    var read = WY.number.read(response.text, key.unit);
    if (read.problem) {
      return notUnderstood(sentence(read.problem));
    }
    var options = question.options || [];
    if (options.length && ids(options).indexOf(response.verdict) < 0) {
      return notUnderstood(word("verdict_missing"));
    }
    if (meets(read.value, key.value, key.tolerance)) {
      return verdict(options, key, response.verdict);
    }
    var count = Object.keys(key.links || {}).length;
    for (var at = 0; at < key.slips.length; at += 1) {
      var slip = key.slips[at];
      if (meets(read.value, slip.value, reachOf(slip.value, key))) {
        var carried = Boolean(slip.link) && count > 1;
        var parts = { say: slip.say, shown: key.shown };
        var reason = word(carried ? "number_carried" : "number_slip", parts);
        return made(false, carried ? 1 - 1 / count : 0, reason, { slip: slip.id });
      }
    }
    return made(false, 0, word("number_wrong", { shown: key.shown }));
  }

  // What to write instead of 1,250 or 1 250.
  function thousands(grouped) {
    return word("thousands", { joined: grouped[1] + grouped[2].match(/[0-9]{3}/g).join("") + grouped[3] });
  }

  function sentence(text) {
    return text.charAt(0).toUpperCase() + text.slice(1) + (/[.!?]$/.test(text) ? "" : ".");
  }

  // How near a slip must be met: a share of its own value where the tolerance is one; else the tolerance, and more
  // for a slip far above the answer.
  function reachOf(slip, key) {
    if (key.share) {
      return key.share * Math.abs(slip);
    }
    var share = key.value ? Math.min(key.tolerance / Math.abs(key.value), LARGEST_SHARE) : 0;
    return Math.max(key.tolerance || WHOLE_REACH, share * Math.abs(slip));
  }

  function meets(value, wanted, tolerance) {
    return Math.abs(value - wanted) <= tolerance + ROUNDING * Math.max(1, Math.abs(wanted));
  }

  function verdict(options, key, given) {
    if (!options.length || given === key.verdict) {
      return made(true, 1, word("number_right", { shown: key.shown }));
    }
    var why = (key.why || {})[given] || "";
    var reason = word("verdict_wrong", { shown: key.shown, text: texts(options)[key.verdict], why: why });
    return made(false, 0.5, reason, { slip: "verdict." + given });
  }

  function order(question, key, response) {
    var given = namedIds(response.order);
    var text = texts(question.options);
    var wanted = Object.keys(text);
    var whole =
      given &&
      given.length === wanted.length &&
      given.every(function (id) {
        return id in text;
      });
    if (!whole) {
      return notUnderstood(word("order_short"));
    }
    var failed = key.fails.filter(function (pair) {
      return given.indexOf(pair[0]) < given.indexOf(pair[1]);
    });
    if (failed.length) {
      var name = failed[0][1] + "<" + failed[0][0];
      var fail = { first: text[failed[0][1]], then: text[failed[0][0]], why: key.reasons[name] || "" };
      return made(false, 0, word("order_fails", fail), { slip: name, critical_fail: true });
    }
    var broken = key.before.filter(function (pair) {
      return given.indexOf(pair[0]) > given.indexOf(pair[1]);
    });
    if (!broken.length) {
      return made(true, 1, word("order_right"));
    }
    var pair = broken[0][0] + "<" + broken[0][1];
    var parts = { first: text[broken[0][0]], then: text[broken[0][1]], why: key.reasons[pair] || "" };
    var reason = word("order_wrong", parts);
    if (broken.length > 1) {
      reason += " " + word("order_more", { count: broken.length - 1 });
    }
    return made(false, 1 - broken.length / key.before.length, reason, { slip: pair });
  }

  function point(question, key, response) {
    var given = response.point;
    if (typeof given !== "string" || !given) {
      return notUnderstood(word("choose"));
    }
    if (ids(question.options).indexOf(given) < 0) {
      return notUnderstood(word("unknown_answer"));
    }
    var text = bare((key.names || {})[given] || given);
    if (key.right.indexOf(given) >= 0) {
      return made(true, 1, word("point_right", { text: text }));
    }
    return made(false, 0, word("point_wrong", { text: text, why: key.why[given] || "" }), { slip: given });
  }

  function minutesTo(ladder, from, to) {
    var row = ladder[from] || {};
    return Object.prototype.hasOwnProperty.call(row, to) ? row[to] : null;
  }

  // A path walked to its end or to the first step that must not be taken. Without a key (in a paper) nothing stops it
  // but a step that is not there.
  function walk(faults, key, path) {
    var ladder = key ? key.ladder : faults.ladder;
    var state = { minutes: 0, taken: [], standing: faults.starts_at, stopped_by: "", check: "", why: "" };
    path.slice(0, LONGEST_PATH).every(function (step) {
      return walkStep(faults, key, ladder, state, step);
    });
    return state;
  }

  function walkStep(faults, key, ladder, state, step) {
    var moves = step.slice(0, MOVE.length) === MOVE;
    var check = moves ? undefined : find(faults.checks, step);
    var needed = check ? check.needs : step.slice(MOVE.length);
    var cost = minutesTo(ladder, state.standing, needed);
    if (!check && (!moves || cost === null)) {
      return Object.assign(state, { stopped_by: "unknown", check: step }) && false;
    }
    if (check) {
      var stopped = key ? stoppedBy(faults, key, check, cost, state.taken) : null;
      state.taken.push(step);
      if (stopped) {
        return Object.assign(state, { stopped_by: stopped[0], check: step, why: stopped[1] }) && false;
      }
      state.minutes += check.minutes;
    }
    if (cost) {
      state.standing = needed;
      state.minutes += cost;
    }
    if (check && check.then) {
      var up = minutesTo(ladder, state.standing, check.then) || 0;
      state.standing = up ? check.then : state.standing;
      state.minutes += up;
    }
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
      return notUnderstood(word("case_path"));
    }
    var walked = walk(faults, key, path);
    if (walked.stopped_by === "unknown") {
      return notUnderstood(word("case_path"));
    }
    if (walked.stopped_by) {
      var more = { slip: walked.check, critical_fail: true };
      return made(false, 0, stopReason(faults, walked), more);
    }
    if (ids(faults.causes).indexOf(response.cause) < 0) {
      return notUnderstood(word("case_no_cause"));
    }
    return scored(faults, key, walked, response);
  }

  function stopReason(faults, walked) {
    var check = find(faults.checks, walked.check);
    var needs = texts(faults.standings)[check.needs] || check.needs;
    var parts = { check: bare(check.text), needs: needs, level: check.level, why: walked.why };
    return word("case_" + walked.stopped_by, parts);
  }

  function scored(faults, key, walked, response) {
    var found = response.cause === key.cause;
    var behind = !key.behind || response.behind === key.behind;
    var fit = !faults.fit.length || response.fit === key.fit;
    var wasted = walked.taken
      .concat([response.cause])
      .filter(function (one) {
        return one in key.parts;
      })
      .map(function (one) {
        return key.parts[one];
      });
    var proves = key.proves || [];
    var proved =
      !proves.length ||
      walked.taken.some(function (one) {
        return proves.indexOf(one) >= 0;
      });
    var ratio = walked.minutes > 0 ? Math.min(1, key.best_minutes / walked.minutes) : 1;
    var earned = {
      cause: found ? 1 : 0,
      time: found && proved ? ratio : 0,
      parts: found && !wasted.length ? 1 : 0,
      behind: found && behind ? 1 : 0,
    };
    var sum = 0;
    var all = 0;
    Object.keys(WEIGHTS).forEach(function (name) {
      if (name !== "behind" || key.behind) {
        sum += WEIGHTS[name] * earned[name];
        all += WEIGHTS[name];
      }
    });
    var right = found && proved && behind && fit && !wasted.length;
    var reason = caseReason(faults, key, walked, { found: found, guess: found && !proved, behind: behind, fit: fit, wasted: wasted });
    return made(right, sum / all, reason, { slip: found ? "" : "cause." + response.cause });
  }

  function caseReason(faults, key, walked, what) {
    var names = Object.assign(texts(faults.causes), texts(faults.behind));
    var parts = { cause: names[key.cause], minutes: plain(walked.minutes), best: plain(key.best_minutes) };
    var reasons = [word(what.found ? "case_right" : "case_wrong", parts)];
    if (what.guess) {
      reasons.push(word("case_guess"));
    }
    if (!what.behind) {
      reasons.push(word("case_behind", { behind: names[key.behind] || key.behind }));
    }
    if (!what.fit) {
      reasons.push(word("case_fit", { fit: texts(faults.fit)[key.fit] || "" }));
    }
    if (what.wasted.length) {
      reasons.push(word("case_parts", { parts: what.wasted.join(", ") }));
    }
    return reasons.join(" ");
  }

  // Minutes as Python's %g writes them, as far as minutes go.
  function plain(minutes) {
    return String(Number(minutes.toPrecision(6)));
  }

  WY.marking = { mark: mark, walk: walk, stopReason: stopReason, minutesTo: minutesTo, MOVE: MOVE };
})();
