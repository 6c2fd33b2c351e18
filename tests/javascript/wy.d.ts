// What the scripts of a page share: every name on WY. A name that stands in no script, or is misspelt in one, is a fault.
// What the build writes into a page (words, items, plans) is checked in Python, and is any here.

type Act = (...given: any[]) => any;

interface Warmyard {
  answerText: Act;
  answeredDays: { of: Act };
  atHand: Act;
  focusFirst: Act;
  helpsOf: Act;
  retrySaid: Act;
  rungsOf: Act;
  strikes: Act;
  bringNear: Act;
  bringQuestion: Act;
  bringTop: Act;
  isTyped: Act;
  keypad: Act;
  sayOpen: Act;
  shortened: Act;
  touches: () => boolean;
  whyOpen: Act;
  add: (box: any, children: any[]) => void;
  aloud: { pieces: Act };
  announce: (text: string) => void;
  builtHtml: (tag: string, attributes: object, html: string) => HTMLElement;
  button: (word: string, act: ((event: any) => void) | null, attributes?: object) => HTMLButtonElement;
  afterPaint: (act: () => void) => () => void;
  calls: any;
  caseTold: any;
  cases: { walk: Act; minutesTo: Act };
  choiceList: Act;
  choosing: { only: Act; next: Act; dueSkills: Act; doneLessons: Act; drawPaper: Act; outcome: Act; scoped: Act; RECENT: any };
  decks: { after: Act };
  diagnosis: { suspects: Act; next: Act; isShown: Act; ladderMinutes: Act; standingAfter: Act };
  drawCall: Act;
  firstCalls: Act;
  cropDrawing: Act;
  dragStep: Act;
  placeMarks: Act;
  earlierItems: Act;
  element: (tag: string, attributes?: any, ...children: any[]) => any;
  fetchItems: Act;
  finding: { begin: Act; take: Act; find: Act; explain: Act; meant: Act; pieces: Act; excerpt: Act };
  fetchPlan: () => Promise<any>;
  fleet: any;
  fleetChoice: { byHand: Act; machine: Act; watch: Act };
  fsrs: any;
  formula: { work: Act; compute: Act; functions: any };
  formulaWords: any;
  formulas: any;
  items: any;
  joinRecords: Act;
  kinds: any;
  looks: { now: Act; next: Act };
  machine: any;
  marking: { mark: Act; ways: any; made: Act; notUnderstood: Act; word: Act; ids: Act; texts: Act; bare: Act; namedIds: Act; sentence: Act };
  markingWords: any;
  mockDraft: { of: Act; keep: Act; drop: Act; variantOf: Act };
  movedStates: { told: Act; read: Act; recordOf: Act };
  loadOnce: (src: string) => Promise<any>;
  mixed: (list: any[], random: () => number) => any[];
  newId: () => string;
  notice: { record: Act };
  number: { read: Act; show: Act; plain: Act; fixed: Act; fill: Act };
  observe: { record: Act };
  packs: any;
  photographs: { take: Act; find: Act; drop: Act; clear: Act };
  pick: (legend: string, choices: any[], chosen: any, act: (value: any) => void) => HTMLElement;
  plan: any;
  planning: { serviceDue: Act };
  qrCode: any;
  readQr: any;
  readiness: { wilson: Act; ofPaper: Act; critical: Act; next: Act; verdict: Act; FEWEST: number };
  recall: { ofSkill: Act; isDue: Act; due: Act; dueSkills: Act; needed: Act; fits: Act; isFor: Act; rating: Act; after: Act; interval: Act; share: Act; stateOf: Act; answersIn: Act; dayAfter: Act; WANTED: number };
  record: { load: Act; keep: Act; answered: Act; tried: Act; scored: Act; sawStep: Act; stopped: Act; aim: Act; ownValue: Act; read: Act; joined: Act; save: Act; erase: Act; newer: Act; dueLine: Act; LARGEST_BYTES: number };
  recordStore: { current: Act; write: Act; note: Act; erase: Act };
  recordFormat: { blank: Act; whole: Act; broughtUp: Act; parsed: Act; newest: any; answer: Act; inOrder: Act; rowText: Act; textOf: Act; fileText: Act; state: Act };
  saveFile: (name: string, content: any) => void;
  scrollable: Act;
  search: (opener: any, root: string | null) => void;
  searchIndex: any;
  searchWords: any;
  seal: { base32: Act; toBase64: Act; fromBase64: Act; inGroups: Act; plain: Act; bytesOf: Act; textOf: Act; ready: Act; digest: Act; code: Act; keyFrom: Act; open: Act; close: Act };
  sheet: { at: Act; data: Act; show: Act; hex: Act };
  sheets: { entry: Act; scoreLine: Act; tableOf: Act; print: Act; stepOf: Act };
  showFeedback: Act;
  sign: Act;
  signed: Act;
  told: Act;
  showItem: Act;
  site: any;
  sitting: { ask: Act };
  standing: { ofStep: Act; ofLesson: Act; again: Act; missed: Act; missedCritical: Act };
  status: any;
  storage: { get: (name: string) => any; set: (name: string, text: string) => boolean; remove: (name: string) => void; names: (beginning: string) => string[] };
  store: { get: (name: string) => any; set: (name: string, text: string) => boolean; remove: (name: string) => void; clear: () => void };
  survey: { shown: Act };
  surveyStep: Act;
  surveyWork: { at: Act; work: Act };
  surveys: any;
  telephoneWords: any;
  textsOf: Act;
  today: () => string;
  todayList: { list: Act; left: Act; ofLesson: Act; levelOf: Act; isBlank: Act; isDone: Act; MOST: any };
  unbroken: (text: string) => string;
  units: any;
  variants: (item: any) => any;
  verify: { judge: Act };
  whenNear: (box: any, act: () => void) => void;
  whenReady: (start: () => void) => void;
  word: (id: string, parts?: object) => string;
  words: any;
  working: { lines: Act };
  workings: any;
}

declare var WY: Warmyard;

// A service worker finds these above its script; telephone.py writes them.
declare var SITE: string, FILES: Record<string, string>, FRESH: string[];

interface Window {
  WY: Warmyard;
  IFrameWorker: any;
}

interface Element {
  wyCalls?: any;
}
