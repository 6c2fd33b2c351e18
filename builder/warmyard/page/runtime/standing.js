// Where a step stands, in three states a person understands. seen: one of its problems was answered; where it asks none,
// it was gone on from. can: each of its problems was right last time, without the whole answer shown. kept: can, and each
// skill of its problems was right on a later day too, with a recall today of nine in ten or more.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var lasts = new WeakMap();

  // The last answer of each item and skill, and the first and last day on which it was right; what was added is put in.
  function lastsOf(record) {
    var found = lasts.get(record);
    if (!found || found.answers !== record.answers || found.length > record.answers.length) {
      found = { answers: record.answers, length: 0, items: new Map(), skills: new Map() };
      lasts.set(record, found);
    }
    record.answers.slice(found.length).forEach(function (answer) {
      note(found.items, answer.item, answer);
      note(found.skills, answer.skill, answer);
    });
    found.length = record.answers.length;
    return found;
  }

  function note(into, name, answer) {
    var known = into.get(name) || { last: answer, firstRight: "", lastRight: "" };
    if (answer.at >= known.last.at) {
      known.last = answer;
    }
    if (wasRight(answer)) {
      known.firstRight = known.firstRight && known.firstRight < answer.day ? known.firstRight : answer.day;
      known.lastRight = known.lastRight > answer.day ? known.lastRight : answer.day;
    }
    into.set(name, known);
  }

  function wasRight(answer) {
    return answer.right && !answer.shown;
  }

  function stepOf(plan, page, stepId) {
    var lesson = plan.lessons.filter(function (one) {
      return one.id === page;
    })[0];
    return ((lesson && lesson.steps) || []).filter(function (one) {
      return one.id === stepId;
    })[0];
  }

  function itemOf(plan, id) {
    return plan.items.filter(function (item) {
      return item.id === id;
    })[0];
  }

  function stateOf(record, plan, page, step, today) {
    var known = lastsOf(record);
    var items = (step && step.items) || [];
    var can = items.every(function (id) {
      return known.items.has(id) && wasRight(known.items.get(id).last);
    });
    if (!items.length || !can) {
      return step && wasDone(record, known, page, step) ? "seen" : "";
    }
    var kept = items.every(function (id) {
      var skill = skillOf(plan, known, id);
      var later = known.skills.get(skill).lastRight > known.items.get(id).firstRight;
      return later && WY.recall.ofSkill(record, skill, today).share >= WY.recall.WANTED;
    });
    return kept ? "kept" : "can";
  }

  // Whether anything was done in a step: a tap on its button is no answer, and an answer needs no tap.
  function wasDone(record, known, page, step) {
    return step.items.length
      ? step.items.some(function (id) {
          return known.items.has(id);
        })
      : page + "#" + step.id in record.seen;
  }

  // The skill that an item is of: as the plan says; where it says nothing any more, as it was asked under.
  function skillOf(plan, known, id) {
    var item = itemOf(plan, id);
    var last = known.items.get(id).last;
    return item && known.skills.has(item.skill) ? item.skill : last.skill;
  }

  function ofStep(record, plan, page, stepId, today) {
    return stateOf(record, plan, page, stepOf(plan, page, stepId), today);
  }

  // The critical items of a step that were missed last: while there are any, the step is open again.
  function missed(record, plan, page, stepId) {
    var known = lastsOf(record);
    var step = stepOf(plan, page, stepId);
    return ((step && step.items) || []).filter(function (id) {
      var item = itemOf(plan, id);
      return item && item.critical && known.items.has(id) && !wasRight(known.items.get(id).last);
    });
  }

  function again(record, plan, page, stepId) {
    return missed(record, plan, page, stepId).length > 0;
  }

  // Every critical item that was missed last: by the plan where it is there, and by the scored sets, which say it too.
  function missedCritical(record, plan) {
    var critical = {};
    record.assessments.forEach(function (one) {
      one.items.forEach(function (item) {
        critical[item.item] = item.critical === true;
      });
    });
    ((plan && plan.items) || []).forEach(function (item) {
      critical[item.id] = item.critical;
    });
    var known = lastsOf(record);
    return Object.keys(critical).filter(function (id) {
      return critical[id] && known.items.has(id) && !wasRight(known.items.get(id).last);
    });
  }

  // All steps of a lesson: [{id, state, again}], in their order.
  function ofLesson(record, plan, page, today) {
    var lesson = plan.lessons.filter(function (one) {
      return one.id === page;
    })[0];
    return ((lesson && lesson.steps) || []).map(function (step) {
      var state = stateOf(record, plan, page, step, today);
      return { id: step.id, state: state, again: again(record, plan, page, step.id) };
    });
  }

  WY.standing = { ofStep: ofStep, ofLesson: ofLesson, again: again, missed: missed, missedCritical: missedCritical };
})();
