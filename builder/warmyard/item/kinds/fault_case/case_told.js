// What is told of a fault case on the way: what a check showed, what it ruled out, and what helps.
(function () {
  "use strict";
  var WY = globalThis.WY;

  function nameOf(list, id) {
    var found = list.filter(function (one) {
      return one.id === id;
    })[0];
    return found ? found.text : id;
  }

  function sees(faults, step) {
    var check = checkOf(faults, step);
    return check ? check.text + ": " + check.sees : WY.word("case.moved", { name: nameOf(faults.standings, step.slice(3)) });
  }

  function checkOf(faults, step) {
    return faults.checks.filter(function (one) {
      return one.id === step;
    })[0];
  }

  // What the machine model leaves of the offered causes after some steps, by id; null where the page has no model.
  function causesLeft(faults, path) {
    var machine = WY.diagnosis && WY.machine;
    var symptom = machine ? idNamed(machine.texts.symptoms, faults.symptom) : "";
    if (!symptom) {
      return null;
    }
    var seen = {};
    path.forEach(function (step) {
      var check = checkOf(faults, step);
      if (check) {
        seen[step] = check.outcome;
      }
    });
    var contexts = Object.keys(machine.texts.contexts).filter(function (context) {
      return faults.contexts.indexOf(machine.texts.contexts[context]) >= 0;
    });
    var left = WY.diagnosis.suspects(machine.model, { symptom: symptom, seen: seen, contexts: contexts }).map(function (one) {
      return one.id;
    });
    return faults.causes.filter(function (one) {
      return left.indexOf(one.id) >= 0;
    });
  }

  function idNamed(texts, name) {
    return Object.keys(texts).filter(function (id) {
      return texts[id].name === name;
    })[0];
  }

  // What a check has ruled out of the offered causes; where few are left, those are named.
  function ruledOut(faults, before, step) {
    var old = causesLeft(faults, before);
    var left = causesLeft(faults, before.concat([step]));
    if (!old || !left || !left.length) {
      return "";
    }
    var out = old.filter(function (one) {
      return left.indexOf(one) < 0;
    });
    if (!out.length) {
      return " " + WY.word("case.rules_out_nothing");
    }
    var few = left.length < out.length;
    return " " + WY.word(few ? "case.leaves" : "case.rules_out", { names: namesOf(few ? left : out) });
  }

  function namesOf(causes) {
    return causes
      .map(function (one) {
        return one.text;
      })
      .join("; ");
  }

  // The finding that had ruled out the cause that was named; nothing where none had.
  function excludedBy(faults, path, cause) {
    var found = path.filter(function (step, at) {
      var left = checkOf(faults, step) ? causesLeft(faults, path.slice(0, at + 1)) : null;
      return (
        left &&
        left.length &&
        !left.some(function (one) {
          return one.id === cause;
        })
      );
    });
    return found.length ? WY.word("case.excluded", { finding: sees(faults, found[0]) }) : "";
  }

  // Another cause than the one: what had ruled it out. The way walked stays, and more checks may be made.
  function retry(variant, response) {
    var faults = variant.question.case;
    if (response.cause !== variant.key.cause) {
      return WY.word("practice.cause_not", { why: excludedBy(faults, response.path, response.cause) });
    }
    var whole = (!variant.key.behind || response.behind === variant.key.behind) && (!faults.fit.length || response.fit === variant.key.fit);
    return whole ? "" : WY.word("practice.cause_else");
  }

  // The best checks one after another, each with its reason.
  function rungs(variant) {
    var faults = variant.question.case;
    return variant.key.best.slice(0, 3).map(function (step, at) {
      return function () {
        var check = checkOf(faults, step);
        var name = check ? check.text : nameOf(faults.standings, step.slice(3));
        return WY.element("p", {}, WY.word("practice.best_check", { step: name, why: check ? variant.key.best_reasons[at] || "" : "" }));
      };
    });
  }

  var FEW = 8;

  // The checks that an easy call offers first: those of the best way and what proves it, among some others; else none.
  function few(faults, item, key) {
    var easy = key && WY.calls && WY.calls.easy && WY.calls.easy.indexOf(item) >= 0;
    if (!easy || faults.checks.length <= FEW) {
      return [];
    }
    var ids = faults.checks.map(function (one) {
      return one.id;
    });
    var wanted = key.best.concat(key.proves || []).filter(function (step, at, all) {
      return ids.indexOf(step) >= 0 && all.indexOf(step) === at;
    });
    // Others from all over the list, the same at every look.
    for (var at = 0; wanted.length < FEW && at < ids.length; at += 1) {
      var other = ids[(at * 7 + 3) % ids.length];
      if (wanted.indexOf(other) < 0) {
        wanted.push(other);
      }
    }
    return wanted.slice(0, FEW);
  }

  WY.caseTold = {
    few: few,
    nameOf: nameOf,
    sees: sees,
    checkOf: checkOf,
    ruledOut: ruledOut,
    excludedBy: excludedBy,
    retry: retry,
    rungs: rungs,
  };
})();
