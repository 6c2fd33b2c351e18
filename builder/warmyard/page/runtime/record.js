// The reader's own record: kept on this device as a cache, saved to a file as the truth, loaded again, printed.
// What others use: load, answered, scored, sawStep, stopped, aim, ownValue; the event "wy-record" follows each of them.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  // About as much as two hundred thousand answers: far more than a browser keeps, so that no saved file is refused.
  var LARGEST_BYTES = 20000000;
  // What was read or written last: the text that the storage holds, its record, and the rows of its answers as text.
  // `unsaved`: the storage had no room, so that this page holds more than the storage does.
  var held = { text: undefined, record: null, rows: null, newer: false, unsaved: false };

  // The text is compared, not trusted: another tab may have written meanwhile.
  function current() {
    var text = WY.store.get("record");
    if (held.text === text && (held.record || held.newer)) {
      return held;
    }
    var found = WY.recordFormat.parsed(text || "");
    var record = found.record || WY.recordFormat.blank();
    if (held.unsaved && held.record) {
      record = WY.joinRecords(record, held.record);
    }
    held = { text: text, record: record, rows: null, newer: found.newer === true, unsaved: held.unsaved };
    return held;
  }

  // The record as it is. It is shared: whoever changes it by hand gives it to keep() at once.
  function load() {
    return newer() ? WY.recordFormat.blank() : current().record;
  }

  // True where a newer course wrote what is kept here: this one cannot read it, and never writes over it.
  function newer() {
    return current().newer;
  }

  function keep(record) {
    return write(record, newer() ? "" : WY.recordFormat.rowsText(record));
  }

  // Writes the record; false where the storage has no room. Then this page still holds it, and it can be saved to a file.
  function write(record, rows) {
    var kept = true;
    if (!newer()) {
      var text = WY.recordFormat.textOf(record, rows);
      kept = WY.store.set("record", text);
      held = { text: kept ? text : WY.store.get("record"), record: record, rows: rows, newer: false, unsaved: !kept };
    }
    document.dispatchEvent(new CustomEvent("wy-record", { detail: record }));
    if (!kept) {
      document.dispatchEvent(new CustomEvent("wy-record-full"));
    }
    return kept;
  }

  // The rows of the answers as the storage has them, so that one more costs no writing of the others.
  function rows() {
    var now = current();
    if (now.rows === null) {
      now.rows = storedRows(now) || WY.recordFormat.rowsText(now.record);
    }
    return now.rows;
  }

  function storedRows(now) {
    var mark = '"answers":[';
    var at = (now.text || "").lastIndexOf(mark);
    var answers = now.record.answers;
    if (at < 0 || !answers.length || now.unsaved) {
      return null;
    }
    var found = now.text.slice(at + mark.length, -2);
    var first = WY.recordFormat.rowText(answers[0]);
    var last = WY.recordFormat.rowText(answers[answers.length - 1]);
    return now.text.slice(-2) === "]}" && found.startsWith(first) && found.endsWith(last) ? found : null;
  }

  // Adds answers to the record, each at an instant of its own.
  function add(answers) {
    var record = load();
    var text = newer() ? "" : rows();
    var taken = new Set(
      record.answers.map(function (one) {
        return one.at;
      }),
    );
    answers.forEach(function (given) {
      var at = Number.isSafeInteger(given.at) ? given.at : Date.now();
      while (taken.has(at)) {
        at += 1;
      }
      var made = WY.recordFormat.answer(Object.assign({ item: "" }, given, { day: given.day || WY.today(), at: at }));
      if (made) {
        taken.add(at);
        record.answers.push(made);
        text += (text ? "," : "") + WY.recordFormat.rowText(made);
      }
    });
    return write(record, text);
  }

  // One answer: {item, skill, step: "PAGE#STEP", right, share, seconds, tries, hints, shown}. What is not said counts as
  // one try, without hints. answered(question, right) is the older way of saying it.
  function answered(given, right) {
    var said = typeof right === "boolean" ? { item: given.item, skill: given.skill, right: right } : given;
    return add([whole(said)]);
  }

  function whole(said) {
    return Object.assign({ tries: 1 }, said, { share: said.share === undefined ? Number(said.right === true) : said.share });
  }

  // A scored set: kept with its texts, and each of its answers as an answer. Its marks: {item, skill, right, share}.
  function scored(assessment) {
    var marks = assessment.marks;
    delete assessment.marks;
    load().assessments.push(assessment);
    add(
      marks.map(function (mark) {
        return whole(Object.assign({ step: assessment.id, day: assessment.on }, mark));
      }),
    );
    return load();
  }

  // Notes a change of what is no answer: nothing is written where nothing changes.
  function changed(change) {
    var record = load();
    return change(record) === false || write(record, newer() ? "" : rows());
  }

  // A step was opened and gone on from; its first day stays.
  function sawStep(page, step) {
    return changed(function (record) {
      var place = page + "#" + step;
      return record.seen[place] ? false : Boolean((record.seen[place] = WY.today()));
    });
  }

  // Where the reader is now: {page, step}.
  function stopped(place) {
    return changed(function (record) {
      var step = place.step ? place.page + "#" + place.step : place.page;
      if (record.stopped && record.stopped.step === step) {
        return false;
      }
      record.stopped = { step: step, at: Date.now() };
      return true;
    });
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
      var fields = (record.own[machine] = record.own[machine] || {});
      fields[field] = { value: value, unit: unit || "", at: Date.now() };
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
    var line = WY.word(due ? "record.due" : "record.nothing_due", { count: due });
    return held.unsaved ? line + " " + WY.word("record.full") : line;
  }

  function save() {
    var body = newer() ? WY.store.get("record") : WY.recordFormat.fileText(load());
    WY.saveFile("practice-record-" + WY.today() + ".json", body);
  }

  WY.record = {
    load: load,
    keep: keep,
    answered: answered,
    scored: scored,
    sawStep: sawStep,
    stopped: stopped,
    aim: aim,
    ownValue: ownValue,
    read: read,
    joined: WY.joinRecords,
    save: save,
    newer: newer,
    dueLine: dueLine,
    LARGEST_BYTES: LARGEST_BYTES,
  };
})();
