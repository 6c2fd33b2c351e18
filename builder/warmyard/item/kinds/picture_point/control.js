// Point at a part: numbered labels over the drawing, and beside it the same numbers as a list; both choose the same.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var APART_PX = 29;
  var SMALL_PX = 70;

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
    function place() {
      placeMarkers(drawing, markers);
    }
    if (globalThis.ResizeObserver) {
      new ResizeObserver(place).observe(drawing);
    } else {
      setTimeout(place, 0);
    }
    function mirror() {
      markers.forEach(function (marker) {
        marker.classList.toggle("wy-marker--chosen", list.chosen().indexOf(marker.getAttribute("data-for")) >= 0);
      });
    }
    return {
      element: WY.element("div", { class: "wy-points" }, drawing, list.element),
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
        list.inputs.forEach(function (input) {
          input.nextSibling.textContent += " – " + (variant.key.names || {})[input.value];
        });
        list.tell(variant.key.right);
      },
    };
  }

  // Puts each label on the middle of its part; labels that would cover one another are moved apart.
  function placeMarkers(drawing, markers) {
    var frame = drawing.getBoundingClientRect();
    if (!frame.width || !frame.height) {
      return;
    }
    var spots = markers.map(function (marker) {
      var part = drawing.querySelector('[data-point="' + marker.getAttribute("data-for") + '"]');
      var box = part ? part.getBoundingClientRect() : frame;
      // On a small part the label would hide it: there it stands at the left edge.
      var across = box.width < SMALL_PX || box.height < APART_PX ? 0 : box.width / 2;
      return { x: box.left + across - frame.left, y: box.top + box.height / 2 - frame.top };
    });
    for (var round = 0; round < 40; round += 1) {
      spots.forEach(function (one, at) {
        spots.slice(at + 1).forEach(function (other) {
          pushApart(one, other);
        });
      });
    }
    markers.forEach(function (marker, at) {
      marker.style.left = clamp((spots[at].x / frame.width) * 100) + "%";
      marker.style.top = clamp((spots[at].y / frame.height) * 100) + "%";
    });
  }

  function pushApart(one, other) {
    var dx = other.x - one.x;
    var dy = other.y - one.y;
    var distance = Math.sqrt(dx * dx + dy * dy);
    if (distance >= APART_PX) {
      return;
    }
    var push = (APART_PX - distance) / 2;
    var ux = distance ? dx / distance : 1;
    var uy = distance ? dy / distance : 0;
    one.x -= ux * push;
    one.y -= uy * push;
    other.x += ux * push;
    other.y += uy * push;
  }

  function clamp(share) {
    return Math.min(98, Math.max(2, share)).toFixed(2);
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
