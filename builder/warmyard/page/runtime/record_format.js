// What a reader's record holds, by version: a reader puts a stored one right, an upgrade makes the next version of it.
// A version that was once written keeps its reader for ever. formats/practice_records.py holds the same shapes.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var LABEL = /^wy-practice-record-([1-9][0-9]{0,3})$/;
  var FORMAT = "wy-practice-record-2";
  var MOST_ENTRIES = 5000;
  var MOST_SECONDS = 86400;
  var ID = /^[A-Za-z0-9][A-Za-z0-9.-]{0,79}$/;
  var STEP = /^[A-Za-z0-9][A-Za-z0-9.-]{0,79}(#[A-Za-z0-9][A-Za-z0-9.-]{0,79})?$/;
  var FIELD = /^[A-Za-z][A-Za-z0-9_-]{0,59}$/;
  var DAY = /^[0-9]{4}-[0-9]{2}-[0-9]{2}$/;
  var NOON = "T12:00:00Z";
  var days = new Set();

  function blank() {
    return { format: FORMAT, seen: {}, own: {}, states: {}, assessments: [], answers: [] };
  }

  function isPlain(value) {
    return value !== null && typeof value === "object" && !Array.isArray(value);
  }

  function fits(pattern, value) {
    return typeof value === "string" && pattern.test(value);
  }

  function isDay(value) {
    return days.has(value) || (fits(DAY, value) && isOnCalendar(value));
  }

  // Looked at once: a record has thousands of answers and few days.
  function isOnCalendar(day) {
    var at = Date.parse(day + NOON);
    var found = !isNaN(at) && new Date(at).toISOString().slice(0, 10) === day;
    if (found) {
      days.add(day);
    }
    return found;
  }

  function share(value) {
    return typeof value === "number" && value >= 0 && value <= 1 ? value : 0;
  }

  // A whole number from 0 to the most; 0 where something else stands.
  function count(value, most) {
    return typeof value === "number" && value >= 0 ? Math.min(Math.round(value), most) : 0;
  }

  function isInstant(value) {
    return Number.isSafeInteger(value) && value >= 0;
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

  // The entries of a plain object whose name fits and whose value could be read.
  function entries(value, name, read) {
    var made = {};
    Object.keys(isPlain(value) ? value : {})
      .slice(0, MOST_ENTRIES)
      .forEach(function (key) {
        var found = name.test(key) ? read(value[key]) : null;
        if (found) {
          made[key] = found;
        }
      });
    return made;
  }

  // Version 1, its own fields put right, unknown ones kept; null when it is no record.
  function cleaned1(value) {
    if (!isPlain(value.skills) || !Array.isArray(value.assessments)) {
      return null;
    }
    return whole(value, {
      format: "wy-practice-record-1",
      skills: entries(value.skills, ID, function (known) {
        return isPlain(known) && isDay(known.missed)
          ? whole(known, { missed: known.missed, days: Array.isArray(known.days) ? known.days.filter(isDay).slice(0, 3) : [] })
          : null;
      }),
      assessments: assessments(value.assessments),
    });
  }

  function assessments(list) {
    return list.slice(-MOST_ENTRIES).map(cleanedAssessment).filter(Boolean);
  }

  function cleanedAssessment(one) {
    if (!isPlain(one) || !fits(ID, one.id) || !isDay(one.on) || !Array.isArray(one.items)) {
      return null;
    }
    var items = one.items.slice(0, 200).filter(function (item) {
      return isPlain(item) && fits(ID, item.item);
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

  // Version 2: every answer is kept. In the page an answer is an object; stored it is a row, see packed().
  function cleaned2(value) {
    if (!Array.isArray(value.answers) || !Array.isArray(value.assessments)) {
      return null;
    }
    var made = {
      format: FORMAT,
      seen: entries(value.seen, STEP, function (day) {
        return isDay(day) ? day : null;
      }),
      own: entries(value.own, ID, function (fields) {
        return isPlain(fields) ? entries(fields, FIELD, ownValue) : null;
      }),
      states: entries(value.states, ID, state),
      assessments: assessments(value.assessments),
      answers: value.answers.map(unpacked).filter(Boolean),
      stopped: stopped(value.stopped),
      aimed: aimed(value.aimed),
    };
    return whole(value, made);
  }

  function ownValue(one) {
    if (!isPlain(one) || !isInstant(one.at) || (typeof one.value !== "string" && !Number.isFinite(one.value))) {
      return null;
    }
    var value = typeof one.value === "string" ? text(one.value, 80) : one.value;
    return whole(one, { value: value, unit: text(one.unit, 20), at: one.at });
  }

  // Where the memory of a skill stood on another device at an instant, without the answers that led there.
  function state(one) {
    var holds = isPlain(one) && isDay(one.on) && isInstant(one.at) && one.stability > 0;
    return holds && one.difficulty >= 1 && one.difficulty <= 10
      ? whole(one, {
        on: one.on,
        at: one.at,
        stability: Number(one.stability),
        difficulty: Number(one.difficulty),
        answers: count(one.answers, 65535),
        right: one.right === true,
      })
      : null;
  }

  function stopped(one) {
    return isPlain(one) && fits(STEP, one.step) && isInstant(one.at) ? whole(one, { step: one.step, at: one.at }) : undefined;
  }

  function aimed(one) {
    return isPlain(one) && count(one.level, 99) > 0 && isInstant(one.at)
      ? whole(one, { level: count(one.level, 99), at: one.at })
      : undefined;
  }

  // An answer as it is stored: a row, so that thousands fit. What stands behind the eleven is a later course's.
  function packed(answer) {
    return [
      answer.day,
      answer.at,
      answer.item,
      answer.skill,
      answer.step,
      answer.right ? 1 : 0,
      answer.share,
      answer.seconds,
      answer.tries,
      answer.hints,
      answer.shown ? 1 : 0,
    ].concat(answer.more || []);
  }

  function unpacked(row) {
    if (!Array.isArray(row) || row.length < 11) {
      return null;
    }
    var made = answer({
      day: row[0],
      at: row[1],
      item: row[2],
      skill: row[3],
      step: row[4],
      right: row[5] === 1,
      share: row[6],
      seconds: row[7],
      tries: row[8],
      hints: row[9],
      shown: row[10] === 1,
    });
    if (made && row.length > 11) {
      made.more = row.slice(11);
    }
    return made;
  }

  // One answer with its fields put right; null where day, instant, item or skill cannot be. An empty item: not known.
  function answer(given) {
    if (!isDay(given.day) || !isInstant(given.at) || !fits(ID, given.skill)) {
      return null;
    }
    if (given.item !== "" && !fits(ID, given.item)) {
      return null;
    }
    return {
      day: given.day,
      at: given.at,
      item: given.item,
      skill: given.skill,
      step: fits(STEP, given.step) ? given.step : "",
      right: given.right === true,
      share: Math.round(share(given.share) * 1000) / 1000,
      seconds: count(given.seconds, MOST_SECONDS),
      tries: count(given.tries, 99),
      hints: count(given.hints, 99),
      shown: given.shown === true,
    };
  }

  // Version 1 knew of a skill that was missed on a day and on which days it was right since: each is an answer at noon,
  // the same on every device. What else a later hand wrote beside it is kept under "skills", as it was.
  function to2(record) {
    var made = whole(record, Object.assign(blank(), { assessments: record.assessments, answers: [] }));
    var skills = {};
    Object.keys(record.skills).forEach(function (skill) {
      var known = record.skills[skill];
      var more = unknown(known, { missed: "", days: [] });
      if (Object.keys(more).length) {
        skills[skill] = more;
      }
      made.answers.push(answerOf1(skill, known.missed, false));
      known.days.forEach(function (day) {
        made.answers.push(answerOf1(skill, day, true));
      });
    });
    made.answers.sort(inOrder);
    delete made.skills;
    return Object.keys(skills).length ? Object.assign({ skills: skills }, made) : made;
  }

  function answerOf1(skill, day, right) {
    var share = right ? 1 : 0;
    var own = { day: day, at: Date.parse(day + NOON), item: "", skill: skill, step: "", right: right, share: share };
    return Object.assign(own, { seconds: 0, tries: 0, hints: 0, shown: false });
  }

  // The order of answers: by instant, then by what they say, so that every device has the same.
  function inOrder(one, other) {
    if (one.at !== other.at) {
      return one.at - other.at;
    }
    var mine = rowText(one);
    var theirs = rowText(other);
    return mine < theirs ? -1 : mine > theirs ? 1 : 0;
  }

  function rowText(answer) {
    return JSON.stringify(packed(answer));
  }

  var READERS = { 1: cleaned1, 2: cleaned2 };
  var UPGRADES = { 1: to2 };

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

  // All of a record but its answers, as JSON without its closing brace.
  function headText(record, indent) {
    var head = Object.assign({}, record);
    delete head.answers;
    return JSON.stringify(head, null, indent).replace(/\n?}$/, "");
  }

  // The record as the storage holds it.
  function textOf(record) {
    return headText(record, 0) + ',"answers":[' + record.answers.map(rowText).join(",") + "]}";
  }

  // The record as a file holds it: for a person who opens it, an answer on each line.
  function fileText(record) {
    var rows = record.answers.map(rowText).join(",\n  ");
    return headText(record, 1) + ',\n "answers": [\n  ' + rows + "\n ]\n}\n";
  }

  WY.recordFormat = {
    blank: blank,
    whole: whole,
    broughtUp: broughtUp,
    parsed: parsed,
    newest: newest(READERS),
    answer: answer,
    inOrder: inOrder,
    rowText: rowText,
    textOf: textOf,
    fileText: fileText,
    state: state,
  };
})();
