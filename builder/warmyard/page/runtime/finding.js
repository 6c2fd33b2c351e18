/* Looking for words in the pages: what was typed is told apart into words, each with its endings and with what else the
   trade calls it; parts of pages that hold all of them come first, those that are about them before those that name them. */
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  /* A word that a text names often says little more than one that it names once; a heading says what a part is about. */
  var IN_HEADING = 7;
  var IN_TITLE = 3;
  var AGAIN = 0.2;
  var MOST_IN_TEXT = 3;
  var AS_TYPED = 1;
  var OTHER_ENDING = 0.8;
  var BEGINNING = 0.4;
  /* Where the pages use another word than the one typed, the typed one says little of what a part is about. */
  var AS_TYPED_INSTEAD = 0.4;
  var MADE = 0.8;
  var MOST = 40;
  var ENDINGS = /^(?:[a-z]?(?:s|es|ed|er|ers|ing|ings)|d|e|y|ly|ies|al)$/;

  /* Without accents and capitals, words parted by one space. */
  function plain(text) {
    if (/^[a-z0-9]*$/i.test(text)) { return text.toLowerCase(); }
    return text.normalize("NFKD").replace(/[\u0300-\u036f'\u2019]/g, "").toLowerCase().replace(/[^\p{L}\p{N}]+/gu, " ").trim();
  }

  function wordsOf(text) { return plain(text).split(" ").filter(Boolean); }

  /* A word without its ending, so that "trips" finds "tripped". Short words stay. */
  function stem(word) {
    if (word.length < 4) { return word; }
    var bare = word.replace(/(?:ies|ings|ing|ed|es|s)$/, "");
    if (word.length > 5 && /[^aeiou]y$/.test(word)) { return word.slice(0, -1); }
    if (/ss$/.test(word) || bare.length < 3) { return word; }
    if (/(?:ing|ings|ed)$/.test(word)) { bare = bare.replace(/([bdfgmnprt])\1$/, "$1"); }
    return bare;
  }

  /* How well a word of a page answers a stem; 0 for not at all. */
  function answers(word, sought, open) {
    if (word === sought.word) { return AS_TYPED; }
    if (!word.startsWith(sought.stem)) { return 0; }
    var rest = word.slice(sought.stem.length);
    if (rest === "" || ENDINGS.test(rest)) { return OTHER_ENDING; }
    return open && word.startsWith(sought.word) ? BEGINNING : 0;
  }

  function add(index, part, text, more) {
    wordsOf(text).forEach(function (word) {
      var known = index.words.get(word);
      if (!known) { index.words.set(word, (known = new Map())); }
      known.set(part, more(known.get(part) || 0));
    });
  }

  function named(weight) { return weight === 0 ? 1 : Math.min(MOST_IN_TEXT, weight + AGAIN); }

  function inHeading(weight) { return weight + IN_HEADING; }

  function inTitle(weight) { return weight + IN_TITLE; }

  /* An index that takes its pages one by one, so that nobody waits for all of them at once. */
  function begin(told) {
    return {
      told: told, at: 0, letters: 0, parts: /** @type {any[]} */ ([]), words: new Map(),
      terms: told.terms.map(function (names) { return names.map(seek); }),
    };
  }

  /* Takes in the next page; false when there is none. */
  function take(index) {
    var page = index.told.pages[index.at];
    if (!page) { return false; }
    index.at += 1;
    page[2].forEach(function (part) {
      var whole = { url: page[0], title: page[1], anchor: part[0], heading: part[1], text: part[2], share: page[3] ? 1 : MADE };
      var at = index.parts.push(whole) - 1;
      index.letters += part[2].length;
      add(index, at, part[2], named);
      add(index, at, part[1], inHeading);
      if (!part[0]) { add(index, at, page[1], inTitle); }
    });
    return index.at < index.told.pages.length;
  }

  function seek(text) {
    return wordsOf(text).map(function (word) { return { word: word, stem: stem(word) }; });
  }

  function isSame(one, other) { return one.word === other.word || one.stem === other.stem; }

  /* Where a run of words stands in what is sought, or -1. */
  function standsAt(sought, run) {
    for (var at = 0; run.length && at + run.length <= sought.length; at += 1) {
      if (run.every(function (word, step) { return isSame(word, sought[at + step]); })) { return at; }
    }
    return -1;
  }

  /* What must be found: each word by itself, or instead of one or several the term that the pages use. */
  function askedFor(index, sought) {
    var groups = sought.map(function (word) { return { from: 1, ways: [[word]] }; });
    index.terms.forEach(function (names) {
      names.forEach(function (name) {
        var at = standsAt(sought, name);
        if (at < 0 || !groups[at] || groups[at].from > name.length) { return; }
        if (name === names[0]) { return; }
        groups[at] = { from: name.length, ways: [names[0], sought.slice(at, at + name.length)] };
        for (var next = at + 1; next < at + name.length; next += 1) { groups[next] = null; }
      });
    });
    return groups.filter(Boolean);
  }

  /* Part -> weight of one word in it. */
  function weigh(index, sought, open) {
    var found = new Map();
    index.words.forEach(function (parts, word) {
      var share = answers(word, sought, open);
      if (!share) { return; }
      parts.forEach(function (weight, part) { found.set(part, Math.max(found.get(part) || 0, share * weight)); });
    });
    var rare = Math.log(1 + index.parts.length / (1 + found.size));
    found.forEach(function (weight, part) { found.set(part, rare * weight); });
    return found;
  }

  /* Part -> weight of several words, only where all of them stand. */
  function weighAll(index, words, open) {
    var each = words.map(function (word, at) { return weigh(index, word, open && at === words.length - 1); });
    var found = new Map();
    each[0].forEach(function (weight, part) {
      var sum = weight;
      if (each.slice(1).every(function (other) { sum += other.get(part) || 0; return other.has(part); })) { found.set(part, sum); }
    });
    return found;
  }

  function weighGroup(index, group, open) {
    var found = new Map();
    group.ways.forEach(function (way, at) {
      var share = at === 0 ? 1 : AS_TYPED_INSTEAD;
      weighAll(index, way, open).forEach(function (weight, part) {
        found.set(part, Math.max(found.get(part) || 0, share * weight));
      });
    });
    return found;
  }

  /* The parts that answer, best first: {part, words}. `open` while the last word is still being typed. */
  function find(index, typed, open) {
    var sought = seek(typed);
    if (!sought.length) { return { parts: [], words: [] }; }
    var groups = askedFor(index, sought);
    var sums = new Map();
    groups.forEach(function (group) {
      weighGroup(index, group, open).forEach(function (weight, part) {
        var sum = sums.get(part) || { weight: 0, groups: 0 };
        sums.set(part, { weight: sum.weight + weight, groups: sum.groups + 1 });
      });
    });
    var most = 0;
    sums.forEach(function (sum) { most = Math.max(most, sum.groups); });
    var run = " " + plain(typed) + " ";
    var ranked = Array.from(sums).filter(function (one) { return one[1].groups === most; }).map(function (one) {
      var part = index.parts[one[0]];
      var whole = sought.length > 1 && (" " + plain(part.heading + " " + part.text) + " ").indexOf(run) >= 0;
      var long = 0.75 + (0.25 * part.text.length * index.parts.length) / (1 + index.letters);
      return { part: part, at: one[0], weight: (one[1].weight * part.share * (whole ? 1.5 : 1)) / long };
    });
    ranked.sort(function (one, other) { return other.weight - one.weight || one.at - other.at; });
    var words = groups.reduce(function (all, group) { return all.concat.apply(all, group.ways); }, []);
    return { parts: ranked.slice(0, MOST).map(function (one) { return one.part; }), count: ranked.length, words: words };
  }

  /* The pieces of a text: {text, hit}. A hit is a word that answers. */
  function pieces(text, words) {
    return text.split(/([\p{L}\p{N}]+)/u).filter(Boolean).map(function (piece) {
      return { text: piece, hit: /[\p{L}\p{N}]/u.test(piece) && isHit(piece, words) };
    });
  }

  function isHit(word, words) { return words.some(function (sought) { return answers(plain(word), sought, true) > 0; }); }

  /* Where the first word stands that answers; 0 where none does. */
  function firstHit(text, words) {
    var each = /[\p{L}\p{N}]+/gu;
    for (var found = each.exec(text); found; found = each.exec(text)) {
      if (isHit(found[0], words)) { return found.index; }
    }
    return 0;
  }

  /* The stretch of a text round its first hit, cut between words, as pieces. */
  function excerpt(text, words, letters) {
    var hit = firstHit(text, words);
    var from = hit < letters / 2 ? 0 : text.indexOf(" ", hit - letters / 4) + 1;
    var end = text.indexOf(" ", from + letters);
    var to = end < 0 ? text.length : end;
    var shown = pieces(text.slice(from, to), words);
    if (from > 0) { shown.unshift({ text: "\u2026 ", hit: false }); }
    if (to < text.length) { shown.push({ text: " \u2026", hit: false }); }
    return shown;
  }

  WY.finding = { begin: begin, take: take, find: find, pieces: pieces, excerpt: excerpt };
})();
