// Where each skill stands, as a short text that a QR picture holds: a name of three bytes, last day, memory, answers. A
// check sign (CRC-32, as in ISO 3309) ends it, so that a misread text is refused. Pure, so that it can be tested.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";
  var FORM = 1;
  var HEAD_BYTES = 8;
  var SKILL_BYTES = 10;
  var CHECK_BYTES = 4;
  // So many fit into a picture that a telephone still reads from a screen: version 25 of a QR code, correction L.
  var MOST_SKILLS = 110;
  var DAY_ZERO = Date.UTC(2020, 0, 1);
  var DAY_MS = 86400000;
  // Stability from 0.001 to 36,500 days by its logarithm, in steps of about a millionth.
  var LEAST = 0.001;
  var STEPS = 16777215 / Math.log(36500 / LEAST);

  function crc32(bytes) {
    var held = -1;
    bytes.forEach(function (byte) {
      held ^= byte;
      for (var bit = 0; bit < 8; bit += 1) {
        held = (held >>> 1) ^ (held & 1 ? 0xedb88320 : 0);
      }
    });
    return ~held >>> 0;
  }

  // A number as so many bytes, the greatest first.
  function put(bytes, number, length) {
    for (var at = length - 1; at >= 0; at -= 1) {
      bytes.push(Math.floor(number / Math.pow(256, at)) % 256);
    }
  }

  function take(bytes, from, length) {
    return bytes.slice(from, from + length).reduce(function (number, byte) {
      return number * 256 + byte;
    }, 0);
  }

  // The name of a skill in three bytes: the end of the check sign of its id.
  function nameOf(skill) {
    return crc32(Array.from(skill, function (letter) { return letter.charCodeAt(0); })) & 0xffffff;
  }

  // The text of where a record's skills stand at an instant, the most recent where not all fit: {text, count, left}.
  function told(record, skills, at) {
    var states = skills
      .map(function (skill) {
        return { skill: skill, state: WY.recall.stateOf(record, skill) };
      })
      .filter(function (one) {
        return one.state;
      })
      .sort(function (one, other) {
        return one.state.memory.on > other.state.memory.on ? -1 : one.state.memory.on < other.state.memory.on ? 1 : 0;
      });
    var bytes = [FORM];
    put(bytes, Math.floor(at / 1000), 5);
    put(bytes, record.aimed ? record.aimed.level : 0, 1);
    put(bytes, Math.min(states.length, MOST_SKILLS), 1);
    states.slice(0, MOST_SKILLS).forEach(function (one) {
      putState(bytes, one.skill, one.state);
    });
    put(bytes, crc32(bytes), CHECK_BYTES);
    return { text: WY.seal.base32(bytes), count: Math.min(states.length, MOST_SKILLS), left: Math.max(0, states.length - MOST_SKILLS) };
  }

  function putState(bytes, skill, state) {
    put(bytes, nameOf(skill), 3);
    put(bytes, Math.max(0, Math.round((Date.parse(state.memory.on) - DAY_ZERO) / DAY_MS)), 2);
    put(bytes, Math.round(Math.log(Math.max(LEAST, state.memory.stability) / LEAST) * STEPS), 3);
    put(bytes, Math.round(((state.memory.difficulty - 1) / 9) * 255), 1);
    put(bytes, Math.min(state.answers, 127) * 2 + (state.right ? 1 : 0), 1);
  }

  function bytesOf(text) {
    var bytes = [];
    var held = 0;
    var bits = 0;
    Array.from(text).forEach(function (letter) {
      held = (held << 5) | LETTERS.indexOf(letter);
      bits += 5;
      if (bits >= 8) {
        bits -= 8;
        bytes.push((held >>> bits) & 255);
        held &= (1 << bits) - 1;
      }
    });
    return bytes;
  }

  // Reads such a text: {states, aimed, count, unknown} for the skills of this course, or {problem} with a word's id.
  function read(text, skills) {
    var bytes = bytesOf(WY.seal.plain(text));
    var body = bytes.slice(0, -CHECK_BYTES);
    var whole = bytes.length >= HEAD_BYTES + CHECK_BYTES && crc32(body) === take(bytes, body.length, CHECK_BYTES);
    if (!whole || body.length !== HEAD_BYTES + body[HEAD_BYTES - 1] * SKILL_BYTES) {
      return { problem: "move.misread" };
    }
    if (body[0] !== FORM) {
      return { problem: "move.newer" };
    }
    var at = take(body, 1, 5) * 1000;
    var found = { states: {}, aimed: body[6] ? { level: body[6], at: at } : undefined, count: 0, unknown: 0 };
    var names = new Map();
    skills.forEach(function (skill) {
      names.set(nameOf(skill), skill);
    });
    for (var from = HEAD_BYTES; from < body.length; from += SKILL_BYTES) {
      var skill = names.get(take(body, from, 3));
      var state = skill && WY.recordFormat.state(stateAt(body, from, at));
      if (state) {
        found.states[skill] = state;
        found.count += 1;
      } else {
        found.unknown += 1;
      }
    }
    return found;
  }

  function stateAt(body, from, at) {
    var answers = body[from + 9];
    return {
      on: new Date(DAY_ZERO + take(body, from + 3, 2) * DAY_MS).toISOString().slice(0, 10),
      at: at,
      stability: LEAST * Math.exp(take(body, from + 5, 3) / STEPS),
      difficulty: 1 + (body[from + 8] / 255) * 9,
      answers: answers >> 1,
      right: (answers & 1) === 1,
    };
  }

  // A record that holds nothing but what such a text told: joined with the one that is here.
  function recordOf(found) {
    return Object.assign(WY.recordFormat.blank(), { states: found.states, aimed: found.aimed });
  }

  WY.movedStates = { told: told, read: read, recordOf: recordOf };
})();
