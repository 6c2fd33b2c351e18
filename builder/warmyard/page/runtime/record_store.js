// Where the record lies in the browser: the whole of it under one name, and what came since under another, itself a small
// record. So an answer costs the writing of a few lines, however many there are; when the page is opened again and much
// has come, both are joined. A write that was cut off between the two loses nothing: joining twice is joining once.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var WHOLE = "record";
  var SINCE = "record-since";
  var MOST_SINCE = 50000;
  /** @type {any} */
  var held = null;

  // What the storage holds, read once: {record, since, newer, unsaved}. The texts are compared, not trusted: another tab
  // may have written meanwhile. `unsaved`: the storage had no room, so that this page holds more than the storage does.
  function current() {
    var whole = WY.store.get(WHOLE);
    var since = WY.store.get(SINCE);
    if (!held || held.whole !== whole || held.sinceText !== since) {
      held = read(whole, since, held && held.unsaved ? held.record : null);
      if (!held.newer && (since || "").length > MOST_SINCE) {
        write(held.record);
      }
    }
    return held;
  }

  function read(whole, since, unsaved) {
    var first = WY.recordFormat.parsed(whole || "");
    var then = WY.recordFormat.parsed(since || "");
    var record = first.record || WY.recordFormat.blank();
    if (then.record) {
      record = together(record, then.record);
    }
    if (unsaved) {
      record = WY.joinRecords(record, unsaved);
    }
    return {
      whole: whole,
      sinceText: since,
      record: record,
      since: then.record || WY.recordFormat.blank(),
      newer: first.newer === true || then.newer === true,
      unsaved: unsaved !== null,
    };
  }

  // As WY.joinRecords, without comparing thousands of answers with a few.
  function together(record, since) {
    var instants = new Set(
      record.answers.map(function (one) {
        return one.at;
      }),
    );
    var known = since.answers.some(function (one) {
      return instants.has(one.at);
    });
    if (known) {
      return WY.joinRecords(record, since);
    }
    var made = WY.joinRecords(Object.assign({}, record, { answers: [] }), Object.assign({}, since, { answers: [] }));
    made.answers = record.answers.concat(since.answers);
    return made;
  }

  // Writes a whole record; false where there is no room for it.
  function write(record) {
    var text = WY.recordFormat.textOf(record);
    var kept = WY.store.set(WHOLE, text);
    if (kept) {
      WY.store.remove(SINCE);
    }
    held = {
      whole: WY.store.get(WHOLE),
      sinceText: WY.store.get(SINCE),
      record: record,
      since: kept ? WY.recordFormat.blank() : WY.recordFormat.parsed(text).record, // all of it is still to be written
      newer: false,
      unsaved: !kept,
    };
    return kept;
  }

  // Makes a change to the record and to what came since, and writes the latter; false where there is no room for it.
  function note(change) {
    var now = current();
    change(now.record);
    change(now.since);
    var text = WY.recordFormat.textOf(now.since);
    var kept = WY.store.set(SINCE, text);
    now.sinceText = kept ? text : WY.store.get(SINCE);
    now.unsaved = !kept;
    return kept;
  }

  // Takes everything away that any version of the site kept of the record.
  function erase() {
    WY.store.remove(WHOLE);
    WY.store.remove(SINCE);
    held = null;
  }

  WY.recordStore = { current: current, write: write, note: note, erase: erase };
})();
