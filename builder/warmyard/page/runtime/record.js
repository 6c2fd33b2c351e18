// The reader's own record: kept on this device as a cache, saved to a file as the truth, loaded again, printed.
// What others use: load, answered, tried, scored, sawStep, stopped, aim, ownValue; the event "wy-record" follows each of them.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  // About as much as two hundred thousand answers: far more than a browser keeps, so that no saved file is refused.
  var LARGEST_BYTES = 20000000;

  // The record as it is. It is shared: whoever changes it by hand gives it to keep() at once.
  function load() {
    return newer() ? WY.recordFormat.blank() : WY.recordStore.current().record;
  }

  // True where a newer course wrote what is kept here: this one cannot read it, and never writes over it.
  function newer() {
    return WY.recordStore.current().newer;
  }

  // Keeps a whole record in place of the one that is here; false where the storage has no room.
  function keep(record) {
    return said(newer() || WY.recordStore.write(record));
  }

  // Makes a change to the record and keeps it; false where the storage has no room. Then this page still holds it.
  function changed(change) {
    return said(newer() || WY.recordStore.note(change));
  }

  function said(kept) {
    document.dispatchEvent(new CustomEvent("wy-record", { detail: load() }));
    if (!kept) {
      document.dispatchEvent(new CustomEvent("wy-record-full"));
    }
    return kept;
  }

  // Answers with their fields put right, each at an instant of its own.
  function made(answers) {
    var known = load().answers;
    var first = Number.isSafeInteger(answers[0] && answers[0].at) ? answers[0].at : Date.now();
    while (isTaken(known, first, first + answers.length)) {
      first += 1;
    }
    return answers.map(function (given, at) {
      return WY.recordFormat.answer(Object.assign({ item: "" }, given, { day: given.day || WY.today(), at: first + at }));
    });
  }

  function isTaken(answers, from, to) {
    return answers.some(function (one) {
      return one.at >= from && one.at < to;
    });
  }

  function add(answers) {
    return changed(function (record) {
      record.answers.push.apply(record.answers, answers);
    });
  }

  // One answer: {item, skill, step: "PAGE#STEP", right, share, seconds, tries, hints, shown}. What is not said counts as
  // one try, without hints. answered(question, right) is the older way of saying it.
  // With `since`, the instant that tried() gave, it takes the place of its own first try.
  function answered(given, right) {
    var said = typeof right === "boolean" ? { item: given.item, skill: given.skill, right: right } : given;
    var isSecond = said.since && isTaken(load().answers, said.since, said.since + 1);
    return isSecond ? settled(whole(said)) : add(made([whole(said)]).filter(Boolean));
  }

  // A wrong first try is an answer at once, so that it is not lost when the page is left; returns its instant.
  function tried(given) {
    var found = made([whole(given)]).filter(Boolean);
    add(found);
    return found[0] ? found[0].at : 0;
  }

  // The list is made anew: what others worked out from the old one does not hold any more.
  function settled(given) {
    var first = load().answers.filter(function (one) {
      return one.at === given.since;
    })[0];
    var end = WY.recordFormat.answer(Object.assign({}, given, { day: first.day, at: first.at, step: first.step }));
    return changed(function (record) {
      record.answers = record.answers
        .filter(function (one) {
          return one.at !== end.at || one.item !== end.item;
        })
        .concat(end);
    });
  }

  function whole(said) {
    return Object.assign({ tries: 1 }, said, { share: said.share === undefined ? Number(said.right === true) : said.share });
  }

  // A scored set: kept with its texts, and each of its answers as an answer. Its marks: {item, skill, right, share}.
  function scored(assessment) {
    var marks = assessment.marks;
    delete assessment.marks;
    var answers = made(
      marks.map(function (mark) {
        return whole(Object.assign({ step: assessment.id, day: assessment.on }, mark));
      }),
    ).filter(Boolean);
    changed(function (record) {
      record.assessments.push(assessment);
      record.answers.push.apply(record.answers, answers);
    });
    return load();
  }

  // A step was opened and gone on from; its first day stays.
  function sawStep(page, step) {
    var place = page + "#" + step;
    var today = WY.today();
    return (
      place in load().seen ||
      changed(function (record) {
        record.seen[place] = today;
      })
    );
  }

  // Where the reader is now: {page, step}.
  function stopped(place) {
    var step = place.step ? place.page + "#" + place.step : place.page;
    var known = load().stopped;
    return (
      (known && known.step === step) ||
      changed(function (record) {
        record.stopped = { step: step, at: Date.now() };
      })
    );
  }

  // The level of the scheme that the reader aims at.
  function aim(level) {
    return changed(function (record) {
      record.aimed = { level: Number(level), at: Date.now() };
    });
  }

  // A value of the reader's own machine, a number or a text; empty takes it back.
  function ownValue(machine, field, value, unit) {
    return changed(function (record) {
      record.own[machine] = record.own[machine] || {};
      record.own[machine][field] = { value: value, unit: unit || "", at: Date.now() };
    });
  }

  // Reads a file's text; {record, count} or {problem} with a word's id.
  function read(fileText) {
    if (fileText.length > LARGEST_BYTES) {
      return { problem: "record.too_large" };
    }
    var found = WY.recordFormat.parsed(fileText);
    if (found.record) {
      return { record: found.record, count: found.record.assessments.length };
    }
    return { problem: found.newer ? "record.newer_file" : "record.no_record" };
  }

  // How many skills are due again today, in words, or that the record here cannot be read or written.
  function dueLine(due) {
    if (newer()) {
      return WY.word("record.newer_here");
    }
    // What is critical and was missed comes before all else: then nothing says that nothing is due.
    var missed = WY.standing.missedCritical(load(), WY.plan).length;
    var again = missed ? WY.word("record.again_first", { count: missed }) : "";
    var line = due || !missed ? WY.word(due ? "record.due" : "record.nothing_due", { count: due }) : "";
    line = [again, line].filter(Boolean).join(" ");
    return WY.recordStore.current().unsaved ? line + " " + WY.word("record.full") : line;
  }

  function save() {
    var body = newer() ? WY.store.get("record") : WY.recordFormat.fileText(load());
    WY.saveFile("practice-record-" + WY.today() + ".json", body);
  }

  // Takes everything away that this site keeps on this device: the record, what was found on machines with its photographs,
  // a begun paper. Whoever calls it has the record saved first. Rejected where the photographs cannot be reached.
  async function erase() {
    WY.recordStore.erase();
    WY.store.clear();
    said(true);
    await WY.photographs.clear();
  }

  WY.record = {
    load: load,
    keep: keep,
    answered: answered,
    tried: tried,
    scored: scored,
    sawStep: sawStep,
    stopped: stopped,
    aim: aim,
    ownValue: ownValue,
    read: read,
    joined: WY.joinRecords,
    save: save,
    erase: erase,
    newer: newer,
    dueLine: dueLine,
    LARGEST_BYTES: LARGEST_BYTES,
  };
})();
