// A mock paper in progress, kept on this device: closed or loaded again, it is offered again with the time that was left.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var NAME = "mock";

  function kept() {
    try {
      return JSON.parse(WY.store.get(NAME) || "null");
    } catch (problem) {
      return null;
    }
  }

  function itemOf(plan, id) {
    return plan.items.filter(function (item) {
      return item.id === id;
    })[0];
  }

  // The draft of a paper: {items, seeds, responses, seconds, short, critical}; null where none is kept, or where the
  // course has no longer what it asks.
  function of(paper, plan) {
    var draft = kept();
    if (!draft || draft.paper !== paper.id || !Array.isArray(draft.items)) {
      return null;
    }
    var items = draft.items.map(function (id) {
      return itemOf(plan, id);
    });
    return items.every(Boolean) ? Object.assign({}, draft, { items: items }) : null;
  }

  // Keeps what was answered so far; false where the storage has no room, so that leaving is asked about.
  function keep(paper, drawn, shown, seconds) {
    var draft = {
      paper: paper.id,
      items: drawn.items.map(function (item) {
        return item.id;
      }),
      seeds: shown.map(function (one) {
        return one.variant.question.seed;
      }),
      responses: shown.map(function (one) {
        return one.control.response();
      }),
      seconds: Math.round(seconds),
      short: drawn.short,
      critical: drawn.critical,
    };
    return WY.store.set(NAME, JSON.stringify(draft));
  }

  function drop() {
    WY.store.set(NAME, "");
  }

  // The variant of an item that stood in the draft; undefined where the site draws it no more.
  function variantOf(draft, at) {
    return (WY.variants(draft.items[at].id) || []).filter(function (variant) {
      return variant.question.seed === draft.seeds[at];
    })[0];
  }

  WY.mockDraft = { of: of, keep: keep, drop: drop, variantOf: variantOf };
})();
