// The reader's own record: kept on this device as a cache, saved to a file as the truth, loaded again, printed.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var FORMAT = "wy-practice-record-1";
  var LARGEST_CHARACTERS = 500000;
  var MOST_ENTRIES = 5000;
  var ID = /^[A-Za-z0-9][A-Za-z0-9.-]{0,79}$/;
  var FIELD = /^[A-Za-z][A-Za-z0-9_-]{0,59}$/;
  var DAY = /^[0-9]{4}-[0-9]{2}-[0-9]{2}$/;

  function blank() {
    return { format: FORMAT, skills: {}, assessments: [] };
  }

  function isPlain(value) {
    return value !== null && typeof value === "object" && !Array.isArray(value);
  }

  function days(list) {
    return Array.isArray(list)
      ? list.filter(function (day) {
          return typeof day === "string" && DAY.test(day);
        })
      : [];
  }

  function share(value) {
    return typeof value === "number" && value >= 0 && value <= 1 ? value : 0;
  }

  function text(value, longest) {
    return typeof value === "string" ? value.slice(0, longest) : "";
  }

  // What another version of the course wrote and this one does not know: kept as it is and never shown.
  function unknown(value, known) {
    var made = {};
    Object.keys(value).forEach(function (name) {
      if (!(name in known) && FIELD.test(name)) {
        made[name] = value[name];
      }
    });
    return made;
  }

  function whole(value, own) {
    return Object.assign(unknown(value, own), own);
  }

  // What a file or the storage holds, its own fields put right, unknown ones kept; null when it is no record.
  function cleaned(value) {
    if (!isPlain(value) || value.format !== FORMAT || !isPlain(value.skills) || !Array.isArray(value.assessments)) {
      return null;
    }
    var made = whole(value, blank());
    Object.keys(value.skills)
      .slice(0, MOST_ENTRIES)
      .forEach(function (skill) {
        var known = value.skills[skill];
        if (ID.test(skill) && isPlain(known) && DAY.test(String(known.missed))) {
          made.skills[skill] = whole(known, { missed: known.missed, days: days(known.days).slice(0, WY.due.DAYS) });
        }
      });
    made.assessments = value.assessments.slice(-MOST_ENTRIES).map(cleanedAssessment).filter(Boolean);
    return made;
  }

  function cleanedAssessment(one) {
    if (!isPlain(one) || !ID.test(String(one.id)) || !DAY.test(String(one.on)) || !Array.isArray(one.items)) {
      return null;
    }
    var items = one.items.slice(0, 200).filter(function (item) {
      return isPlain(item) && ID.test(String(item.item));
    });
    return whole(one, {
      id: one.id,
      title: text(one.title, 200),
      on: one.on,
      at: text(one.at, 30),
      share: share(one.share),
      note: one.note === undefined ? undefined : text(one.note, 1000),
      items: items.map(function (item) {
        return whole(item, {
          item: item.item,
          seed: Number.isSafeInteger(item.seed) ? item.seed : 0,
          share: share(item.share),
          right: item.right === true,
          critical: item.critical === true,
          ask: text(item.ask, 600),
          reason: text(item.reason, 600),
        });
      }),
    });
  }

  function load() {
    var kept = WY.store.get("record");
    try {
      return (kept && cleaned(JSON.parse(kept))) || blank();
    } catch (problem) {
      return blank();
    }
  }

  function keep(record) {
    WY.store.set("record", JSON.stringify(record));
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
    var made = whole(loaded, whole(here, blank()));
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
    try {
      var found = cleaned(JSON.parse(fileText));
      return found ? { record: found, count: found.assessments.length } : { problem: "record.no_record" };
    } catch (problem) {
      return { problem: "record.no_record" };
    }
  }

  function save() {
    var body = JSON.stringify(load(), null, 1);
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
    cleaned: cleaned,
  };
})();
