// What a reader's record holds, by version: a reader puts a stored one right, an upgrade makes the next version of it.
// A version that was once written keeps its reader for ever. formats/practice_records.py holds the same shapes.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var LABEL = /^wy-practice-record-([1-9][0-9]{0,3})$/;
  var FORMAT = "wy-practice-record-1";
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

  // Version 1, its own fields put right, unknown ones kept; null when it is no record.
  function cleaned(value) {
    if (!isPlain(value.skills) || !Array.isArray(value.assessments)) {
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

  var READERS = { 1: cleaned };
  var UPGRADES = {};

  function newest(readers) {
    return Math.max.apply(null, Object.keys(readers).map(Number));
  }

  // The version that a record names; 0 where something else was stored.
  function versionOf(value) {
    var found = isPlain(value) && typeof value.format === "string" ? LABEL.exec(value.format) : null;
    return found ? Number(found[1]) : 0;
  }

  // {record} of the newest version; {newer: true} where a newer course wrote it; {} where it is no record.
  function broughtUp(value, readers, upgrades) {
    var version = versionOf(value);
    if (version > newest(readers)) {
      return { newer: true };
    }
    var record = version in readers ? readers[version](value) : null;
    while (record && version < newest(readers)) {
      record = upgrades[version](record);
      version += 1;
    }
    return record ? { record: record } : {};
  }

  // What a file or the storage holds as text; what is no JSON is no record.
  function parsed(text) {
    try {
      return broughtUp(JSON.parse(text), READERS, UPGRADES);
    } catch (problem) {
      return {};
    }
  }

  WY.recordFormat = { blank: blank, whole: whole, broughtUp: broughtUp, parsed: parsed, newest: newest(READERS) };
})();
