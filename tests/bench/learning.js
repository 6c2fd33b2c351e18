// Simulated learners before an examination: the page's own scripts choose what is asked, a memory that is not theirs says
// what is recalled. Run by bench_learning.py in node; words on the command line: runtime folder, plan, settings (JSON).
"use strict";
const fs = require("fs");
const vm = require("vm");
const [, , RUNTIME, PLAN, SETTINGS] = process.argv;
const WY = (globalThis.WY = {});
for (const name of ["vendored/fsrs.js", "recall.js", "choosing.js"]) {
  vm.runInThisContext(fs.readFileSync(RUNTIME + "/" + name, "utf8"));
}
const plan = JSON.parse(fs.readFileSync(PLAN, "utf8"));
const settings = JSON.parse(SETTINGS);
const skills = Object.keys(WY.recall.needed(plan, settings.level)).sort();
const DAY_MS = 86400000;
const FIRST = Date.UTC(2026, 2, 2);

// A generator of chances that repeats (mulberry32).
function chances(seed) {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let made = Math.imul(state ^ (state >>> 15), 1 | state);
    made = (made + Math.imul(made ^ (made >>> 7), 61 | made)) ^ made;
    return ((made ^ (made >>> 14)) >>> 0) / 4294967296;
  };
}

// What reading the step leaves of a skill that was never asked: set for the bench, about what newcomers have right at once.
const READ = 0.4;

// Each memory: begin(ease) of a skill, recall(trace, day), and after(trace, day, right). Ease, 0.5 to 1.5, spreads the skills.
const MEMORIES = {
  // Forgetting as exp(-days / strength): Ebbinghaus's curve in its simplest form (memory). Strength grows with each answer,
  // more the longer the wait was; figures set for the bench.
  exponential: {
    begin: (ease) => ({ strength: 0, on: null, ease }),
    recall: (trace, day) => (trace.on === null ? READ : Math.exp(-(day - trace.on) / trace.strength)),
    after: (trace, day, right) => {
      if (trace.on === null) {
        trace.strength = 1.5 * trace.ease;
      } else {
        const kept = MEMORIES.exponential.recall(trace, day);
        trace.strength = right ? trace.strength * (1.1 + 1.9 * trace.ease * (1 - kept)) : Math.max(1 * trace.ease, trace.strength * 0.4);
      }
      trace.on = day;
    },
  },
  // Forgetting as a power of time (Wickelgren 1974, Wixted and Ebbesen 1991, memory): (1 + days / scale) to the minus
  // decay, where decay falls with every answer on another day; figures set for the bench.
  power: {
    begin: (ease) => ({ times: 0, on: null, ease }),
    recall: (trace, day) => (trace.on === null ? READ : Math.pow(1 + (day - trace.on) / 1.2, -0.7 / (trace.ease * (1 + trace.times)))),
    after: (trace, day, right) => {
      const waited = trace.on === null ? 0 : Math.min(1, (day - trace.on) / (1 + trace.times));
      trace.times = trace.on === null ? 0 : right ? trace.times + 0.15 + 0.85 * waited : trace.times * 0.6;
      trace.on = day;
    },
  },
  // Two components, after the idea of storage and retrieval strength (Bjork and Bjork 1992, memory): what is stored only
  // grows, most when it could hardly be recalled; what can be recalled falls at a rate that the store sets; set for the bench.
  twofold: {
    begin: (ease) => ({ store: 0, access: 0, on: null, ease }),
    recall: (trace, day) => (trace.on === null ? READ : trace.access * Math.exp((-0.45 * (day - trace.on)) / (1 + 2.2 * trace.store))),
    after: (trace, day, right) => {
      const kept = MEMORIES.twofold.recall(trace, day);
      trace.store += trace.ease * (right ? 0.35 + 0.9 * (1 - kept) : 0.25) * (trace.on === day ? 0.3 : 1);
      trace.access = right ? Math.min(0.99, kept + 0.75 * (1 - kept)) : Math.min(0.99, kept + 0.65 * (1 - kept));
      trace.on = day;
    },
  },
};

function dayText(day) {
  return new Date(FIRST + day * DAY_MS).toISOString().slice(0, 10);
}

function least(names, rank, chance) {
  let best = [];
  let low = Infinity;
  for (const name of names) {
    const at = rank(name);
    if (at < low) { best = []; low = at; }
    if (at === low) { best.push(name); }
  }
  return best[Math.floor(chance() * best.length)];
}

// Each policy: choose(state, day, chance) gives a skill, note(state, skill, right, day) what it keeps of the answer.
const POLICIES = {
  // The rule before: a skill that was missed comes back until it was right on three days after; else anything at random.
  before: {
    begin: () => ({ missed: new Map() }),
    choose: (state, day, chance) => {
      const due = skills.filter((skill) => {
        const known = state.missed.get(skill);
        return known && known.days.size < 3 && known.on !== day && !known.days.has(day);
      });
      const from = due.length ? due : skills;
      return from[Math.floor(chance() * from.length)];
    },
    note: (state, skill, right, day) => {
      const known = state.missed.get(skill);
      if (!right) {
        state.missed.set(skill, { on: day, days: new Set() });
      } else if (known && known.on !== day) {
        known.days.add(day);
      }
    },
  },
  random: {
    begin: () => null,
    choose: (state, day, chance) => skills[Math.floor(chance() * skills.length)],
    note: () => null,
  },
  // Days between two tries double while it is right, and begin at one again after a miss; what is due longest first, then
  // what was never asked.
  expanding: {
    begin: () => new Map(),
    choose: (state, day, chance) => {
      const due = skills.filter((skill) => state.has(skill) && state.get(skill).due <= day);
      if (due.length) {
        return least(due, (skill) => state.get(skill).due, chance);
      }
      const fresh = skills.filter((skill) => !state.has(skill));
      return fresh.length ? fresh[Math.floor(chance() * fresh.length)] : least(skills, (skill) => state.get(skill).due, chance);
    },
    note: (state, skill, right, day) => {
      const known = state.get(skill) || { gap: 0.5 };
      const gap = right ? known.gap * 2 : 1;
      state.set(skill, { gap, due: day + gap });
    },
  },
  // The page's own: WY.choosing.next over the record, as mixed practice calls it.
  now: {
    begin: () => ({ record: { answers: [], states: {}, seen: {}, assessments: [], aimed: { level: settings.level, at: 1 } }, asked: [] }),
    choose: (state, day, chance) => {
      const found = WY.choosing.next(plan, state.record, dayText(day), "all", state.asked, chance);
      state.asked.push(found.item.id);
      return found.item.skill;
    },
    note: (state, skill, right, day) => {
      const at = FIRST + day * DAY_MS + state.record.answers.length;
      const own = { day: dayText(day), at, item: state.asked[state.asked.length - 1], skill, step: "", right, share: right ? 1 : 0 };
      state.record.answers.push(Object.assign(own, { seconds: 0, tries: 1, hints: 0, shown: false }));
    },
  },
};

function learner(memory, policy, seed) {
  const chance = chances(seed);
  const traces = new Map(skills.map((skill) => [skill, memory.begin(0.5 + chance())]));
  const state = policy.begin();
  for (let day = 0; day < settings.days; day += 1) {
    for (let n = 0; n < settings.answers; n += 1) {
      const skill = policy.choose(state, day, chance);
      const trace = traces.get(skill);
      const right = chance() < memory.recall(trace, day);
      memory.after(trace, day, right);
      policy.note(state, skill, right, day);
    }
  }
  return skills.reduce((sum, skill) => sum + memory.recall(traces.get(skill), settings.days), 0) / skills.length;
}

const made = {};
for (const memory of Object.keys(MEMORIES)) {
  made[memory] = {};
  for (const policy of Object.keys(POLICIES)) {
    let sum = 0;
    for (let n = 0; n < settings.learners; n += 1) {
      sum += learner(MEMORIES[memory], POLICIES[policy], 7919 * (n + 1));
    }
    made[memory][policy] = sum / settings.learners;
  }
}
process.stdout.write(JSON.stringify({ skills: skills.length, recall: made }));
