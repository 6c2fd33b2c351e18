// Point at a part: numbered labels over the drawing, and beside it the same numbers as a list; both choose the same.
(function () {
  "use strict";
  var WY = globalThis.WY;

  function control(question) {
    var options = question.options.map(function (option, at) {
      var where = option.text ? at + 1 + ": " + option.text : WY.word("practice.point", { number: at + 1 });
      return { id: option.id, text: where };
    });
    var list = WY.choiceList(options, false, { text: WY.word("practice.choose_point") }, mirror);
    var drawing = WY.builtHtml("div", { class: "wy-drawing wy-drawing--points" }, question.drawing);
    var markers = options.map(function (option, at) {
      var input = list.inputs[at];
      input.id = WY.newId();
      // A label, not a button: it chooses the list's own radio button, so keyboard and ear meet each point once.
      return WY.element("label", { for: input.id, class: "wy-marker", "data-for": option.id, "aria-hidden": "true" }, String(at + 1));
    });
    WY.add(drawing, markers);
    var place = watchSize(drawing, markers);
    function mirror() {
      markers.forEach(function (marker) {
        marker.classList.toggle("wy-marker--chosen", list.chosen().indexOf(marker.getAttribute("data-for")) >= 0);
      });
    }
    return {
      element: WY.element("div", { class: "wy-points" }, frameOf(drawing), list.element),
      response: function () {
        return { point: list.chosen()[0] || "" };
      },
      restore: function (response) {
        list.choose([response.point]);
        mirror();
      },
      lock: list.lock,
      strike: function (ids) {
        list.strike(ids);
        mirror();
      },
      isStruck: list.isStruck,
      focus: function () {
        WY.focusFirst(list.inputs);
      },
      reveal: function (variant) {
        markers.forEach(function (marker) {
          var right = variant.key.right.indexOf(marker.getAttribute("data-for")) >= 0;
          marker.classList.toggle("wy-marker--right", right);
          marker.classList.toggle("wy-marker--wrong", !right && marker.matches(".wy-marker--chosen"));
        });
        place();
        list.inputs.forEach(function (input) {
          input.nextSibling.textContent += " – " + (variant.key.names || {})[input.value];
        });
        list.tell(variant.key.right);
      },
    };
  }

  // Marks are placed when the drawing is there and whenever its size changes.
  function watchSize(drawing, markers) {
    function place() {
      WY.cropDrawing(drawing);
      WY.placeMarks(drawing, markers);
    }
    if (globalThis.ResizeObserver) {
      // The first marks come with the drawing; those of another size when the reader has seen that size.
      var later = WY.afterPaint(place);
      var placed = false;
      new ResizeObserver(function () {
        if (placed) {
          later();
        } else {
          placed = true;
          place();
        }
      }).observe(drawing);
    } else {
      setTimeout(place, 0);
    }
    return place;
  }

  // The drawing as wide as the page, and twice as wide in its own frame for whoever wants it larger.
  function frameOf(drawing) {
    var frame = WY.element("div", { class: "wy-points-frame" }, drawing);
    var button = WY.button("practice.enlarge", function () {
      var large = frame.classList.toggle("wy-points-frame--large");
      button.textContent = WY.word(large ? "practice.reduce" : "practice.enlarge");
      button.setAttribute("aria-pressed", String(large));
    }, { class: "wy-button wy-button--quiet wy-enlarge", "aria-pressed": "false" });
    return WY.element("div", {}, frame, button);
  }

  function isBlank(response) {
    return !response.point;
  }

  function answer(variant) {
    return variant.key.names[variant.key.right[0]];
  }

  // What was pointed at, and why it is not that.
  function retry(variant, response, mark, part) {
    if (variant.question.options.length < 3) {
      return "";
    }
    part.strike([response.point]);
    var text = WY.marking.bare(variant.key.names[response.point] || "");
    return WY.word("practice.point_not", { text: text, why: variant.key.why[response.point] || "" });
  }

  WY.kinds["picture-point"] = { control: control, isBlank: isBlank, answer: answer, retry: retry, rungs: WY.strikes };
})();
