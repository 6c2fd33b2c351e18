// The mark of a response, as item/marking.py gives it; both run the cases of tests/contract/marking.json.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});

  function mark(variant, response) {
    return WY.marking.ways[variant.key.type](variant.question, variant.key, response || {});
  }

  function made(right, share, reason, more) {
    return Object.assign(
      { right: right, share: share, reason: reason, slip: "", critical_fail: false, understood: true },
      more || {},
    );
  }

  function notUnderstood(reason) {
    return made(false, 0, reason, { understood: false });
  }

  function word(id, parts) {
    return WY.word("marking." + id, parts);
  }

  function ids(list) {
    return (list || []).map(function (one) {
      return one.id;
    });
  }

  // Texts by id, without the full stop that would stand inside quotation marks.
  function texts(list) {
    var found = {};
    (list || []).forEach(function (one) {
      found[one.id] = bare(one.text);
    });
    return found;
  }

  function bare(text) {
    return text.trim().replace(/\.$/, "");
  }

  function namedIds(value) {
    if (!Array.isArray(value)) {
      return null;
    }
    var plain = value.every(function (one) {
      return typeof one === "string";
    });
    return plain ? Array.from(new Set(value)) : null;
  }

  function sentence(text) {
    return text.charAt(0).toUpperCase() + text.slice(1) + (/[.!?]$/.test(text) ? "" : ".");
  }

  WY.marking = {
    mark: mark,
    // Way of answering, by the type of its key -> what marks it; each kind of item puts its own in.
    ways: {},
    made: made,
    notUnderstood: notUnderstood,
    word: word,
    ids: ids,
    texts: texts,
    bare: bare,
    namedIds: namedIds,
    sentence: sentence,
  };
})();
