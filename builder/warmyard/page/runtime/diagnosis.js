/* Suspects and the next check, as builder/warmyard/machine/{evidence,diagnosis}.py work them out.
   model: what machine/browser.py gives. state: {symptom, seen: {check: outcome}, contexts: [], standing, level}. */
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  var LEAST_SETTLED = 1e-9;
  var DECIMALS_COMPARED = 9;
  var DECIMALS_OF_WEIGHTS = 12;

  function has(list, value) {
    return list.indexOf(value) >= 0;
  }

  function own(object, key) {
    return Object.prototype.hasOwnProperty.call(object, key);
  }

  function byId(list) {
    var found = {};
    list.forEach(function (one) { found[one.id] = one; });
    return found;
  }

  function rounded(value, decimals) {
    var scale = Math.pow(10, decimals);
    return Math.floor(value * scale + 0.5) / scale;
  }

  /* Sums with the lost low bits carried along, so that the order of adding does not show. */
  function sum(values) {
    var total = 0, lost = 0;
    values.forEach(function (value) {
      var next = total + value;
      lost += Math.abs(total) >= Math.abs(value) ? total - next + value : value - next + total;
      total = next;
    });
    return total + lost;
  }

  /* Everything about one machine and one symptom that does not change while somebody looks. */
  function Reasoner(model, symptom) {
    this.model = model;
    this.symptom = symptom;
    this.modes = byId(model.modes);
    this.checks = byId(model.checks);
    this.preconditions = byId(model.preconditions);
    this.ladder = own(model.ladders, symptom) ? model.ladders[symptom] : model.ladder;
    this.hypotheses = hypothesesOf(model, this.modes, symptom);
    this.showing = {};
    this.keeping = {};
    model.checks.forEach(this.tabulate, this);
  }

  /* How strongly a mode shows a symptom; 0 where it cannot show it at all. */
  function strengthOf(model, mode, symptom) {
    var likelihoods = model.likelihoods;
    if (has(mode.strong, symptom)) { return likelihoods.strong; }
    if (has(mode.weak, symptom)) { return likelihoods.weak; }
    return has(mode.seldom, symptom) ? likelihoods.other : 0;
  }

  function hypothesesOf(model, modes, symptom) {
    var found = [];
    model.modes.forEach(function (mode, cause) {
      if (!strengthOf(model, mode, symptom)) { return; }
      var share = mode.behind.length ? model.likelihoods.behind : 0;
      var total = sum(mode.behind.map(function (other) { return modes[other].weight; }));
      found.push({ cause: cause, mode: mode, behind: null, share: 1 - share });
      mode.behind.forEach(function (other) {
        found.push({ cause: cause, mode: mode, behind: modes[other], share: share * modes[other].weight / total });
      });
    });
    return found;
  }

  Reasoner.prototype.tabulate = function (check) {
    var states = this.statesOf(check), unseen = this.unseen(check), plain = this.underSymptom(check, check.normal), self = this;
    this.showing[check.id] = this.hypotheses.map(function (hypothesis) {
      var shown = self.shownBy(hypothesis, check);
      var outcome = shown.length ? shown[0] : plain;
      return check.contextOnly || has(states, outcome) ? null : outcome;
    });
    this.keeping[check.id] = {};
    check.outcomes.forEach(function (seen) {
      self.keeping[check.id][seen] = self.hypotheses.map(function (hypothesis) {
        return self.outlives(hypothesis, check, seen, unseen, plain);
      });
    });
  };

  Reasoner.prototype.statesOf = function (check) {
    var unseen = this.model.symptoms[this.symptom].runs ? [] : check.whileRunning;
    return check.cannot.concat(check.notAllowed, unseen);
  };

  /* Outcomes in whose place the normal one may be seen, though the fault is there. */
  Reasoner.prototype.unseen = function (check) {
    return this.model.symptoms[this.symptom].runs ? check.cannot : check.whileRunning;
  };

  /* What is seen where a mode would show an outcome that contradicts the symptom. */
  Reasoner.prototype.underSymptom = function (check, outcome) {
    var found = (this.model.replaced[this.symptom] || {})[check.id] || {};
    return own(found, outcome) ? found[outcome] : outcome;
  };

  /* Outcomes that a hypothesis shows in its own way, that of the cause first. */
  Reasoner.prototype.shownBy = function (hypothesis, check) {
    var self = this;
    return [hypothesis.mode, hypothesis.behind]
      .filter(function (mode) { return mode && own(mode.shows, check.id); })
      .map(function (mode) { return self.underSymptom(check, mode.shows[check.id]); });
  };

  Reasoner.prototype.outlives = function (hypothesis, check, seen, unseen, plain) {
    if (check.contextOnly || has(check.cannot, seen) || has(check.notAllowed, seen)) { return true; }
    var possible = this.shownBy(hypothesis, check);
    if (!possible.length) { possible = [plain]; }
    if (!has(check.cannot, plain) && possible.every(function (one) { return one === plain; })) {
      return seen === check.normal || seen === plain;
    }
    if (possible.some(function (one) { return has(check.notAllowed, one); })) { return true; }
    var nothingToSee = possible.some(function (one) { return has(unseen, one); });
    return has(possible, seen) || (seen === check.normal && nothingToSee);
  };

  Reasoner.prototype.contexts = function (state) {
    var found = (state.contexts || []).slice(), checks = this.checks;
    Object.keys(state.seen || {}).forEach(function (check) {
      var sets = checks[check].sets, outcome = state.seen[check];
      if (own(sets, outcome) && !has(found, sets[outcome])) { found.push(sets[outcome]); }
    });
    return found;
  };

  Reasoner.prototype.weightOf = function (mode, contexts) {
    return contexts.reduce(function (weight, context) {
      return own(mode.contexts, context) ? weight * mode.contexts[context] : weight;
    }, mode.weight * strengthOf(this.model, mode, this.symptom));
  };

  /* One weight per hypothesis, 0 where it is denied, summing to 1; null when what was seen contradicts. */
  Reasoner.prototype.weights = function (state) {
    var self = this, contexts = this.contexts(state).sort(), seen = state.seen || {};
    var raised = this.hypotheses.map(function (hypothesis, at) {
      var stays = Object.keys(seen).every(function (check) { return self.keeping[check][seen[check]][at]; });
      return stays ? hypothesis.share * self.weightOf(hypothesis.mode, contexts) : 0;
    });
    var total = sum(raised);
    var explained = Object.keys(seen).every(function (check) {
      return self.explained(raised, self.checks[check], seen[check]);
    });
    if (!(total > 0) || !explained) { return null; }
    return raised.map(function (weight) { return weight / total; });
  };

  Reasoner.prototype.explained = function (raised, check, outcome) {
    var self = this;
    if (check.contextOnly || outcome === check.normal) { return true; }
    if (has(check.cannot, outcome) || has(check.notAllowed, outcome)) { return true; }
    var plain = this.underSymptom(check, check.normal);
    return this.hypotheses.some(function (hypothesis, at) {
      var shown = self.shownBy(hypothesis, check);
      return raised[at] > 0 && (has(shown, outcome) || (!shown.length && outcome === plain));
    });
  };

  Reasoner.prototype.causes = function (weights, kept) {
    var summed = this.model.modes.map(function () { return 0; });
    this.hypotheses.forEach(function (hypothesis, at) {
      if (!kept || kept[at]) { summed[hypothesis.cause] += weights[at]; }
    });
    return summed;
  };

  function certainty(summed) {
    var total = sum(summed);
    return total > 0 ? sum(summed.map(function (weight) { return weight * weight; })) / (total * total) : 0;
  }

  /* Weight that a check is expected to move onto the true cause. */
  Reasoner.prototype.settles = function (weights, check) {
    var self = this, chances = {}, nothing = 0, before = certainty(this.causes(weights));
    this.showing[check.id].forEach(function (outcome, at) {
      if (outcome === null) {
        nothing += weights[at];
      } else {
        chances[outcome] = (chances[outcome] || 0) + weights[at];
      }
    });
    var parts = Object.keys(chances).map(function (outcome) {
      if (!(chances[outcome] > 0)) { return 0; }
      return chances[outcome] * certainty(self.causes(weights, self.keeping[check.id][outcome]));
    });
    var all = sum([nothing].concat(Object.keys(chances).map(function (outcome) { return chances[outcome]; })));
    return Math.max(0, sum(parts.concat([nothing * before])) / all - before);
  };

  Reasoner.prototype.minutes = function (standing, check) {
    var down = this.ladder[standing][check.needs];
    var then = check.then ? this.ladder[check.needs][check.then] : 0;
    return down === undefined || then === undefined ? null : down + check.minutes + then;
  };

  Reasoner.prototype.standingAfter = function (standing, check) {
    var self = this;
    return [check.needs, check.then].reduce(function (stands, needed) {
      return !needed || has(self.preconditions[stands].included, needed) ? stands : needed;
    }, standing);
  };

  Reasoner.prototype.isLive = function (check) {
    var self = this;
    return [check.needs, check.then].some(function (name) { return name && self.preconditions[name].live; });
  };

  Reasoner.prototype.bars = function (state) {
    var symptom = this.symptom, contexts = this.contexts(state);
    return this.model.bars.filter(function (bar) {
      return has(bar.symptoms, symptom) || contexts.some(function (one) { return has(bar.contexts, one); });
    });
  };

  /* Checks that must still be seen normal before a start; empty when a start is allowed. */
  Reasoner.prototype.uncleared = function (bar, state) {
    var self = this, seen = state.seen || {}, started = !bar.afterStart, missing = bar.clearBy.slice();
    Object.keys(seen).forEach(function (name) {
      var check = self.checks[name], at = missing.indexOf(name);
      if (at >= 0 && (seen[name] === check.normal || has(check.whileRunning, seen[name]))) {
        missing.splice(at, 1);
        started = started && missing.length > 0;
      } else if (self.isLive(check) && !has(check.cannot, seen[name]) && bar.afterStart) {
        started = true;
        missing = bar.clearBy.slice();
      }
    });
    return started ? missing : [];
  };

  Reasoner.prototype.standing = function (state) {
    return state.standing || this.model.preconditions[0].id;
  };

  Reasoner.prototype.mayBeNext = function (state) {
    var gate = this.model.symptoms[this.symptom].checksFrom;
    return !gate || has(this.preconditions[this.standing(state)].included, gate);
  };

  Reasoner.prototype.detour = function (after, bar) {
    var self = this, minutes = 0, standing = after;
    bar.clearBy.forEach(function (name) {
      var check = self.checks[name];
      minutes += (self.ladder[standing][check.needs] || 0) + check.minutes;
      standing = self.standingAfter(standing, check);
    });
    return minutes + (this.ladder[standing][after] || 0);
  };

  function step(check, minutes, settles, rate, clears) {
    return {
      check: check.id, minutes: minutes, precondition: check.needs, settles: settles, perMinute: rate, clears: clears
    };
  }

  Reasoner.prototype.mayMake = function (check, state) {
    var level = state.level === undefined ? 3 : state.level;
    return !own(state.seen || {}, check.id) && check.level <= level;
  };

  /* Rates a check that settles more than the least; one that only confirms what is left may settle nothing. */
  Reasoner.prototype.rate = function (state, weights, check, least) {
    var self = this, standing = this.standing(state), minutes = this.minutes(standing, check);
    if (check.contextOnly || minutes === null || !this.mayMake(check, state)) { return null; }
    var settles = this.settles(weights, check);
    if (settles <= least) { return null; }
    var after = this.standingAfter(standing, check), extra = this.ladder[after][standing] || 0;
    /** @type {any} */
    var barred = null;
    if (this.isLive(check)) {
      this.bars(state).forEach(function (bar) {
        var missing = self.uncleared(bar, state);
        if (missing.length || bar.afterStart) { extra = Math.max(extra, self.detour(after, bar)); }
        if (missing.length && !barred) { barred = { bar: bar, check: self.checks[missing[0]] }; }
      });
    }
    var rate = rounded(settles / (minutes + extra), DECIMALS_COMPARED);
    if (!barred) { return step(check, minutes, settles, rate, ""); }
    var way = this.minutes(standing, barred.check);
    if (way === null || !this.mayMake(barred.check, state)) { return null; }
    return step(barred.check, way, settles, rate, barred.bar.id);
  };

  Reasoner.prototype.rank = function (state, weights) {
    var self = this;
    return this.model.checks
      .map(function (check, at) { return { at: at, step: self.rate(state, weights, check, LEAST_SETTLED) }; })
      .filter(function (entry) { return entry.step; })
      .sort(function (a, b) {
        return b.step.perMinute - a.step.perMinute || a.step.minutes - b.step.minutes || a.at - b.at;
      })
      .map(function (entry) { return entry.step; });
  };

  Reasoner.prototype.firstClearing = function (state, weights) {
    /** @type {any} */
    var found = null;
    var self = this, standing = this.standing(state);
    this.bars(state).forEach(function (bar) {
      (bar.first ? self.uncleared(bar, state) : []).forEach(function (name) {
        var check = self.checks[name], way = self.minutes(standing, check);
        if (found || way === null || !self.mayMake(check, state)) { return; }
        var settles = self.settles(weights, check);
        found = step(check, way, settles, rounded(settles / way, DECIMALS_COMPARED), bar.id);
      });
    });
    return found;
  };

  /* Whether something unusual was seen that the cause shows. */
  Reasoner.prototype.hasShown = function (cause, state) {
    var self = this, seen = state.seen || {};
    return Object.keys(seen).some(function (name) {
      var check = self.checks[name], outcome = seen[name];
      var shows = own(cause.shows, name) && self.underSymptom(check, cause.shows[name]) === outcome;
      var shown = shows && outcome !== check.normal && outcome !== self.underSymptom(check, check.normal);
      return shown && !check.contextOnly && !has(self.statesOf(check), outcome);
    });
  };

  /* The look at a cause that is left over and that nothing has shown yet: a guess is no finding. */
  Reasoner.prototype.confirming = function (state, weights, cause) {
    var check = this.checks[cause.firstCheck];
    return check && !this.hasShown(cause, state) ? this.rate(state, weights, check, -1) : null;
  };

  var made = { model: null, reasoners: {} };

  function reasonerFor(model, symptom) {
    if (made.model !== model) { made = { model: model, reasoners: {} }; }
    if (!own(made.reasoners, symptom)) { made.reasoners[symptom] = new Reasoner(model, symptom); }
    return made.reasoners[symptom];
  }

  /* Suspects by falling weight: [{id, weight, name}]; empty when what was seen contradicts. */
  function suspects(model, state) {
    var reasoner = reasonerFor(model, state.symptom), weights = reasoner.weights(state);
    if (!weights) { return []; }
    return reasoner.causes(weights)
      .map(function (weight, at) {
        var mode = model.modes[at];
        return { id: mode.id, weight: rounded(weight, DECIMALS_OF_WEIGHTS), name: mode.name, left: weight > 0, at: at };
      })
      .filter(function (one) { return one.left; })
      .sort(function (a, b) { return b.weight - a.weight || a.at - b.at; })
      .map(function (one) { return { id: one.id, weight: one.weight, name: one.name }; });
  }

  /* The check to make next: {check, minutes, precondition, settles, perMinute, clears}, or null. */
  function next(model, state) {
    var reasoner = reasonerFor(model, state.symptom), weights = reasoner.weights(state);
    if (!weights || !reasoner.mayBeNext(state)) { return null; }
    var causes = reasoner.causes(weights), most = Math.max.apply(null, causes);
    if (most >= model.likelihoods.settled) { return reasoner.confirming(state, weights, model.modes[causes.indexOf(most)]); }
    return reasoner.firstClearing(state, weights) || reasoner.rank(state, weights)[0] || null;
  }

  /* Least minutes from one precondition to another, or null when it is out of reach. */
  function ladderMinutes(model, symptom, from, to) {
    var found = reasonerFor(model, symptom).ladder[from][to];
    return found === undefined ? null : found;
  }

  /* Where somebody stands after a check. */
  function standingAfter(model, symptom, standing, check) {
    var reasoner = reasonerFor(model, symptom);
    return reasoner.standingAfter(standing, reasoner.checks[check]);
  }

  /* Whether something was seen that the cause shows, or no look at it could show it. */
  function isShown(model, state, id) {
    var reasoner = reasonerFor(model, state.symptom), cause = reasoner.modes[id];
    return !cause.firstCheck || reasoner.hasShown(cause, state);
  }

  WY.diagnosis = {
    suspects: suspects, next: next, isShown: isShown, ladderMinutes: ladderMinutes, standingAfter: standingAfter
  };
})();
