// Put steps in order: tapped, a step is next; tapped again, it is out. Placed steps are dragged or moved by arrow keys.
(function () {
  "use strict";
  var WY = globalThis.WY;

  function control(question) {
    var part = build(question);
    return {
      element: part.element,
      // An order is an answer when every step has its place; what was dealt is nobody's.
      response: function () {
        return { order: part.placed().length === part.rows.length ? ids(part.placed()) : [] };
      },
      restore: function (response) {
        (response.order || []).forEach(function (id) {
          part.take(rowOf(part, id));
        });
      },
      lock: function () {
        part.list.classList.add("wy-placing--locked");
        part.element.querySelectorAll("button").forEach(function (button) {
          button.disabled = true;
        });
      },
      focus: function () {
        (part.rows.filter(function (row) {
          return !isPlaced(row);
        })[0] || part.rows[0]).querySelector("button").focus();
      },
      reveal: function (variant) {
        var given = ids(part.placed());
        variant.key.before.forEach(function (pair) {
          if (given.length === part.rows.length && given.indexOf(pair[0]) > given.indexOf(pair[1])) {
            tell(rowOf(part, pair[0]));
            tell(rowOf(part, pair[1]));
          }
        });
      },
    };
  }

  function build(question) {
    var list = WY.element("ol", { class: "wy-placing" });
    /** @type {any} */
    var part = { list: list, history: [] };
    part.placed = function () {
      return Array.prototype.filter.call(list.children, isPlaced);
    };
    part.take = function (row) {
      take(part, row);
    };
    part.rows = question.options.map(function (step) {
      return makeRow(part, step);
    });
    WY.add(list, part.rows);
    part.undo = WY.button("practice.undo", function () {
      undo(part);
    });
    part.state = WY.element("p", { class: "wy-small wy-order-state" });
    part.element = WY.element(
      "div",
      { class: "wy-ordering" },
      WY.element("p", { class: "wy-small" }, WY.word("practice.order_help")),
      list,
      WY.element("div", { class: "wy-row wy-order-row" }, part.undo, part.state),
    );
    refresh(part);
    return part;
  }

  function makeRow(part, step) {
    var button = WY.element(
      "button",
      { type: "button", class: "wy-order-button" },
      WY.element("span", { class: "wy-order-number", "aria-hidden": "true" }),
      WY.element("span", { class: "wy-order-text" }, step.text),
    );
    var row = WY.element("li", { class: "wy-order-step", "data-id": step.id }, button);
    button.addEventListener("click", function () {
      if (!row.wyDragged) {
        remember(part);
        (isPlaced(row) ? leave : take)(part, row);
        say(part, row, step.text);
      }
    });
    button.addEventListener("keydown", function (event) {
      var way = { ArrowUp: -1, ArrowDown: 1 }[event.key];
      if (way && isPlaced(row) && !event.altKey && !event.ctrlKey && !event.metaKey) {
        event.preventDefault();
        shift(part, row, way, step.text);
      }
    });
    WY.dragStep(part.list, row, isPlaced, function () {
      remember(part);
    }, function () {
      refresh(part);
      say(part, row, step.text);
    });
    return row;
  }

  // A step that is placed stands above those that wait, at the end of the order.
  function take(part, row) {
    var waiting = part.rows.filter(function (one) {
      return !isPlaced(one) && one !== row;
    });
    row.classList.add("wy-order-step--placed");
    var first = Array.prototype.filter.call(part.list.children, function (one) {
      return waiting.indexOf(one) >= 0;
    })[0];
    part.list.insertBefore(row, first || null);
    refresh(part);
    focusOn(row);
  }

  // Taken out again it waits at its old place among the others.
  function leave(part, row) {
    row.classList.remove("wy-order-step--placed");
    part.rows.filter(function (one) {
      return !isPlaced(one);
    }).forEach(function (one) {
      part.list.append(one);
    });
    refresh(part);
    focusOn(row);
  }

  function shift(part, row, way, text) {
    var placed = part.placed();
    var other = placed[placed.indexOf(row) + way];
    if (!other || part.list.matches(".wy-placing--locked")) {
      return;
    }
    remember(part);
    part.list.insertBefore(way < 0 ? row : other, way < 0 ? other : row);
    refresh(part);
    focusOn(row);
    say(part, row, text);
  }

  // A row that moves in the list loses the focus; it is given back without the page jumping.
  function focusOn(row) {
    row.querySelector("button").focus({ preventScroll: true });
  }

  function remember(part) {
    part.history.push(ids(part.placed()));
  }

  function undo(part) {
    var before = part.history.pop() || [];
    part.rows.forEach(function (row) {
      row.classList.toggle("wy-order-step--placed", before.indexOf(row.getAttribute("data-id")) >= 0);
    });
    before.forEach(function (id) {
      part.list.append(rowOf(part, id));
    });
    part.rows.filter(function (row) {
      return !isPlaced(row);
    }).forEach(function (row) {
      part.list.append(row);
    });
    refresh(part);
    WY.announce(part.state.textContent);
  }

  function refresh(part) {
    var placed = part.placed();
    part.rows.forEach(function (row) {
      var at = placed.indexOf(row);
      row.querySelector(".wy-order-number").textContent = at < 0 ? "" : String(at + 1);
      var text = row.querySelector(".wy-order-text").firstChild.textContent;
      var word = at < 0 ? "practice.place_next" : "practice.placed";
      row.querySelector("button").setAttribute("aria-pressed", String(at >= 0));
      row.querySelector("button").setAttribute("aria-label", WY.word(word, { step: text, place: at + 1 }));
    });
    part.undo.disabled = !part.history.length;
    part.state.textContent = WY.word("practice.order_left", { placed: placed.length, count: part.rows.length });
    part.element && part.element.dispatchEvent(new Event("change", { bubbles: true }));
  }

  function say(part, row, text) {
    var at = part.placed().indexOf(row);
    var parts = { step: text, place: at + 1, count: part.rows.length };
    WY.announce(WY.word(at < 0 ? "practice.taken_out" : "practice.moved", parts));
  }

  function isPlaced(row) {
    return row.matches(".wy-order-step--placed");
  }

  function ids(rows) {
    return rows.map(function (row) {
      return row.getAttribute("data-id");
    });
  }

  function rowOf(part, id) {
    return part.rows.filter(function (row) {
      return row.getAttribute("data-id") === id;
    })[0];
  }

  function tell(row) {
    if (!row.matches(".wy-order-step--broken")) {
      row.classList.add("wy-order-step--broken");
      row.querySelector(".wy-order-text").append(WY.told("order"));
    }
  }

  // Steps that wait are nobody's order: nothing is answered while one is left.
  function isBlank(response) {
    return !response.order.length;
  }

  function worked(variant) {
    var steps = variant.key.reference.map(function (id) {
      return WY.element("li", {}, variant.question.options.filter(function (option) {
        return option.id === id;
      })[0].text);
    });
    return { word: "practice.one_order", body: WY.element("ol", {}, steps) };
  }

  // The rule that was broken, in words; a reversal that fails at once is told in the same way.
  function retry(variant, response, mark) {
    return mark.reason;
  }

  // The first step, then the next.
  function rungs(variant) {
    return variant.key.reference.slice(0, 2).map(function (id, at) {
      return function () {
        var text = WY.textsOf(variant.question.options, [id]);
        return WY.element("p", {}, WY.word(at ? "practice.next_step" : "practice.first_step", { step: text }));
      };
    });
  }

  WY.kinds.ordering = { control: control, isBlank: isBlank, worked: worked, retry: retry, rungs: rungs };
})();
