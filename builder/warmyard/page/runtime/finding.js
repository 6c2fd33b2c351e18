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
  var MOST_DANGERS = 2;
  /* A shorter word is near to too many; a longer one may differ in two letters. */
  var SHORTEST_MEANT = 4;
  var LONG_MEANT = 6;
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
      var whole = {
        url: page[0], title: page[1], anchor: part[0], heading: part[1], text: part[2],
        share: page[3] > 0 ? 1 : MADE, last: page[3] < 0,
      };
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
    ranked.sort(function (one, other) {
      return Number(one.part.last) - Number(other.part.last) || other.weight - one.weight || one.at - other.at;
    });
    var words = groups.reduce(function (all, group) { return all.concat.apply(all, group.ways); }, []);
    var first = explain(index, typed) ? [] : dangersOf(index, sought);
    var then = ranked.map(function (one) { return one.part; }).filter(function (part) { return first.indexOf(part) < 0; });
    return { parts: first.concat(then).slice(0, MOST), count: first.length + then.length, words: words };
  }

  /* What the glossary says, where the whole of what was typed is a word of it: {name, term, means}, or null. */
  function explain(index, typed) {
    var sought = seek(typed);
    var means = index.told.means || {};
    var names = index.told.terms.concat(Object.keys(means).map(function (term) { return [term]; }));
    for (var at = 0; at < names.length; at += 1) {
      var name = names[at].filter(function (one) { return isWhole(sought, seek(one)); })[0];
      if (name !== undefined && means[names[at][0]]) { return { name: name, term: names[at][0], means: means[names[at][0]] }; }
    }
    return null;
  }

  function isWhole(sought, name) { return sought.length === name.length && standsAt(sought, name) === 0; }

  /* The stop rules of whose danger a typed word speaks: what hurts people stands before every table. */
  function dangersOf(index, sought) {
    return (index.told.dangers || []).filter(function (rule) {
      return rule[2].some(function (word) { return sought.some(function (one) { return speaks(one.word, word); }); });
    }).map(function (rule) {
      return index.parts.filter(function (part) { return part.url === rule[0] && part.anchor === rule[1]; })[0];
    }).filter(Boolean).slice(0, MOST_DANGERS);
  }

  function speaks(word, danger) { return danger.endsWith("*") ? word.startsWith(danger.slice(0, -1)) : word === danger; }

  /* What was meant by words of which one is unknown: the same with the nearest known word; "" where none is near. */
  function meant(index, typed) {
    if (dangersOf(index, seek(typed)).length) { return ""; }
    var known = knownWords(index);
    var changed = false;
    var words = wordsOf(typed).map(function (word) {
      var near = word.length < SHORTEST_MEANT || isKnown(known, word) ? "" : nearest(known, word);
      changed = changed || near !== "";
      return near || word;
    });
    return changed ? words.join(" ") : "";
  }

  /* Word -> how many parts hold it; a word of the glossary that no page has is known too. */
  function knownWords(index) {
    var known = new Map();
    index.words.forEach(function (parts, word) { known.set(word, parts.size); });
    index.told.terms.forEach(function (names) {
      names.forEach(function (name) { wordsOf(name).forEach(function (word) { known.set(word, (known.get(word) || 0) + 1); }); });
    });
    return known;
  }

  function isKnown(known, word) {
    var sought = seek(word)[0];
    return Array.from(known.keys()).some(function (one) { return answers(one, sought, true) > 0; });
  }

  function nearest(known, word) {
    var best = { word: "", far: word.length < LONG_MEANT ? 2 : 3, parts: 0 };
    known.forEach(function (parts, one) {
      if (Math.abs(one.length - word.length) >= best.far + 1) { return; }
      var far = farFrom(word, one);
      if (far < best.far || (far === best.far && best.word && parts > best.parts)) { best = { word: one, far: far, parts: parts }; }
    });
    return best.word;
  }

  /* How many letters must be changed, put in or taken out (Levenshtein 1966). */
  function farFrom(one, other) {
    var row = Array.from({ length: other.length + 1 }, function (_, at) { return at; });
    for (var down = 1; down <= one.length; down += 1) {
      var before = row[0];
      row[0] = down;
      for (var at = 1; at <= other.length; at += 1) {
        var kept = row[at];
        row[at] = Math.min(row[at] + 1, row[at - 1] + 1, before + (one[down - 1] === other[at - 1] ? 0 : 1));
        before = kept;
      }
    }
    return row[other.length];
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

  WY.finding = { begin: begin, take: take, find: find, explain: explain, meant: meant, pieces: pieces, excerpt: excerpt };
})();
