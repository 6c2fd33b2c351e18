// Put steps in order: each row has buttons for up and down; arrow keys on a row's buttons move it as well.
(function () {
  "use strict";
  var WY = globalThis.WY;

  function control(question) {
    var list = WY.element("ol", { class: "wy-steps" });
    var touched = false;
    var rows = question.options.map(function (step) {
      return makeRow(list, step, function () {
        touched = true;
      });
    });
    WY.add(list, rows);
    refresh(list);
    var help = WY.element("p", { class: "wy-small" }, WY.word("practice.order_help"));
    return {
      element: WY.element("div", { class: "wy-ordering" }, help, list),
      // The order in which the steps were dealt is nobody's answer.
      response: function () {
        return { order: touched ? order(list) : [] };
      },
      restore: function (response) {
        touched = Boolean(response.order && response.order.length);
        (response.order || []).forEach(function (id) {
          rows.forEach(function (row) {
            if (row.getAttribute("data-id") === id) {
              list.append(row);
            }
          });
        });
        refresh(list);
      },
      lock: function () {
        list.classList.add("wy-steps--locked");
        list.querySelectorAll("button").forEach(function (button) {
          button.disabled = true;
        });
      },
      focus: function () {
        list.querySelector("button:not([disabled])").focus();
      },
      reveal: function (variant) {
        var given = this.response().order;
        variant.key.before.forEach(function (pair) {
          if (given.indexOf(pair[0]) > given.indexOf(pair[1])) {
            tell(list, pair[0]);
            tell(list, pair[1]);
          }
        });
      },
    };
  }

  function tell(list, id) {
    Array.prototype.forEach.call(list.children, function (row) {
      if (row.getAttribute("data-id") === id && !row.matches(".wy-step--broken")) {
        row.classList.add("wy-step--broken");
        row.querySelector(".wy-step-text").append(WY.told("order"));
      }
    });
  }

  function makeRow(list, step, moved) {
    var row = WY.element("li", { class: "wy-step", "data-id": step.id });
    function mover(way, sign, word) {
      return WY.element(
        "button",
        {
          type: "button",
          class: "wy-move",
          "data-way": way,
          "aria-label": WY.word(word, { step: step.text }),
          onclick: function () {
            move(list, row, way, step.text, moved);
          },
        },
        sign,
      );
    }
    row.append(
      WY.element("span", { class: "wy-step-text" }, step.text),
      WY.element("span", { class: "wy-movers" }, mover(-1, "▲", "practice.move_up"), mover(1, "▼", "practice.move_down")),
    );
    row.addEventListener("keydown", function (event) {
      var way = { ArrowUp: -1, ArrowDown: 1 }[event.key];
      if (way && !event.altKey && !event.ctrlKey && !event.metaKey) {
        event.preventDefault();
        move(list, row, way, step.text, moved);
      }
    });
    return row;
  }

  function move(list, row, way, text, moved) {
    var other = way < 0 ? row.previousElementSibling : row.nextElementSibling;
    if (!other || list.classList.contains("wy-steps--locked")) {
      return;
    }
    moved();
    list.insertBefore(way < 0 ? row : other, way < 0 ? other : row);
    refresh(list);
    // The focus stays with the step that moves; at the ends the button that still moves it takes over.
    var button = row.querySelector('[data-way="' + way + '"]');
    (button.disabled ? row.querySelector("button:not([disabled])") : button).focus();
    var at = order(list).indexOf(row.getAttribute("data-id")) + 1;
    WY.announce(WY.word("practice.moved", { step: text, place: at, count: list.children.length }));
  }

  function refresh(list) {
    Array.prototype.forEach.call(list.children, function (row) {
      row.querySelector('[data-way="-1"]').disabled = !row.previousElementSibling;
      row.querySelector('[data-way="1"]').disabled = !row.nextElementSibling;
    });
  }

  function order(list) {
    return Array.prototype.map.call(list.children, function (row) {
      return row.getAttribute("data-id");
    });
  }

  // Steps in the order in which they were dealt are kept as they are: no order at all is seen when it is marked.
  function isBlank() {
    return false;
  }

  function worked(variant) {
    var text = {};
    variant.question.options.forEach(function (option) {
      text[option.id] = option.text;
    });
    var steps = variant.key.reference.map(function (id) {
      return WY.element("li", {}, text[id]);
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
