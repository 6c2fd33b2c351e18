// The reader's own record: kept on this device as a cache, saved to a file as the truth, loaded again, printed.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var LARGEST_CHARACTERS = 500000;

  function stored() {
    return WY.recordFormat.parsed(WY.store.get("record") || "");
  }

  function load() {
    return stored().record || WY.recordFormat.blank();
  }

  // True where a newer course wrote what is kept here: this one cannot read it, and never writes over it.
  function newer() {
    return stored().newer === true;
  }

  function keep(record) {
    if (!newer()) {
      WY.store.set("record", JSON.stringify(record));
    }
    document.dispatchEvent(new CustomEvent("wy-record", { detail: record }));
  }

  function answered(question, right) {
    var record = load();
    WY.due.note(record.skills, question.skill, right, WY.today());
    keep(record);
  }

  function scored(assessment) {
    var record = load();
    record.assessments.push(assessment);
    assessment.marks.forEach(function (mark) {
      WY.due.note(record.skills, mark.skill, mark.right, assessment.on);
    });
    delete assessment.marks;
    keep(record);
    return record;
  }

  // Joins a loaded record with the one that is here: every assessment once, and of two states of a skill the later.
  function joined(here, loaded) {
    var made = WY.recordFormat.whole(loaded, WY.recordFormat.whole(here, WY.recordFormat.blank()));
    var seen = {};
    here.assessments.concat(loaded.assessments).forEach(function (one) {
      var name = JSON.stringify([one.id, one.at, one.share]);
      if (!seen[name]) {
        seen[name] = true;
        made.assessments.push(one);
      }
    });
    made.assessments.sort(function (one, other) {
      return one.at < other.at ? -1 : one.at > other.at ? 1 : 0;
    });
    [here.skills, loaded.skills].forEach(function (skills) {
      Object.keys(skills).forEach(function (skill) {
        if (!made.skills[skill] || last(skills[skill]) > last(made.skills[skill])) {
          made.skills[skill] = skills[skill];
        }
      });
    });
    return made;
  }

  function last(known) {
    return known.days.concat([known.missed]).sort().pop();
  }

  // Reads a file's text; {record, count} or {problem} with a word's id.
  function read(fileText) {
    if (fileText.length > LARGEST_CHARACTERS) {
      return { problem: "record.too_large" };
    }
    var found = WY.recordFormat.parsed(fileText);
    if (found.record) {
      return { record: found.record, count: found.record.assessments.length };
    }
    return { problem: found.newer ? "record.newer_file" : "record.no_record" };
  }

  // How many skills are due again today, in words, or that the record here cannot be read.
  function dueLine(due) {
    return newer() ? WY.word("record.newer_here") : WY.word(due ? "record.due" : "record.nothing_due", { count: due });
  }

  function save() {
    var body = newer() ? WY.store.get("record") : JSON.stringify(load(), null, 1);
    var address = URL.createObjectURL(new Blob([body], { type: "application/json" }));
    var link = WY.element("a", { href: address, download: "practice-record-" + WY.today() + ".json", hidden: true });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(function () {
      URL.revokeObjectURL(address);
    }, 10000);
  }

  WY.record = {
    load: load,
    keep: keep,
    answered: answered,
    scored: scored,
    read: read,
    joined: joined,
    save: save,
    newer: newer,
    dueLine: dueLine,
  };
})();
