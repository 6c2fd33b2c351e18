// Numbered rings beside the parts of a drawing, each with a line to its part, so that no part lies under a number.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var RING_PX = 28;
  var ROOM_PX = 34;
  var WAYS = 16;
  var GAPS_PX = [4, 14, 26, 42];
  var ALIKE = 0.25;
  var EVERY_PX = 4;
  var MOST_POINTS = 200;
  var HIDES = 15;
  var INSIDE_PX = 6;
  var SVG = "http://www.w3.org/2000/svg";

  // Cuts the empty margin of a drawing away, as far as its rings leave it free, so that its parts are as large as can be.
  WY.cropDrawing = function (drawing) {
    var svg = drawing.querySelector("svg");
    var box = svg && svg.getBBox ? svg.getBBox() : null;
    var width = drawing.getBoundingClientRect().width;
    if (!box || !box.width || !width || svg.wyCropped) {
      return;
    }
    svg.wyCropped = true;
    var room = (ROOM_PX * box.width) / Math.max(width - 2 * ROOM_PX, 1);
    svg.setAttribute("viewBox", [box.x - room, box.y - room, box.width + 2 * room, box.height + 2 * room].join(" "));
    svg.removeAttribute("width");
    svg.removeAttribute("height");
  };

  // Puts each mark beside its part, and draws the lines; called again when the drawing changes its size. A mark that has
  // its place keeps it, as a share of the drawing, unless the drawing is a good deal larger or smaller.
  WY.placeMarks = function (drawing, marks) {
    var frame = drawing.getBoundingClientRect();
    if (!frame.width || !frame.height) {
      return;
    }
    var known = drawing.wySpots;
    var parts = marks.map(function (mark) {
      return partOf(drawing, mark.getAttribute("data-for"), frame);
    });
    if (!known || Math.abs(Math.log(frame.width / known.width)) > ALIKE) {
      known = drawing.wySpots = { width: frame.width, spots: spotsOf(drawing, parts, frame) };
    }
    var spots = known.spots.map(function (spot) {
      return { x: spot.x * frame.width, y: spot.y * frame.height };
    });
    marks.forEach(function (mark, at) {
      mark.style.left = (known.spots[at].x * 100).toFixed(2) + "%";
      mark.style.top = (known.spots[at].y * 100).toFixed(2) + "%";
    });
    drawLines(drawing, parts, spots, marks, frame);
  };

  function spotsOf(drawing, parts, frame) {
    var ink = inkOf(drawing.querySelector("svg"), frame);
    /** @type {any[]} */
    var taken = [];
    parts.forEach(function (part) {
      taken.push(bestSpot(part, parts, taken, ink, frame));
    });
    return taken.map(function (spot) {
      return { x: spot.x / frame.width, y: spot.y / frame.height };
    });
  }

  function partOf(drawing, id, frame) {
    var part = drawing.querySelector('[data-point="' + id + '"]');
    var box = part ? part.getBoundingClientRect() : frame;
    return {
      left: box.left - frame.left,
      top: box.top - frame.top,
      width: box.width,
      height: box.height,
      node: part,
      ink: part ? inkOf(part, frame) : [],
    };
  }

  // Points on every outline within a node, in pixels of the frame: what is drawn there, not the box around it.
  function inkOf(node, frame) {
    /** @type {any[]} */
    var points = [];
    shapesIn(node).forEach(function (shape) {
      var place = shape.getScreenCTM();
      var length = place ? shape.getTotalLength() : 0;
      var count = Math.min(MOST_POINTS, Math.ceil((length * (place ? place.a : 0)) / EVERY_PX)) || 0;
      for (var at = 0; at <= count && length; at += 1) {
        var point = shape.getPointAtLength((length * at) / (count || 1)).matrixTransform(place);
        points.push({ x: point.x - frame.left, y: point.y - frame.top });
      }
    });
    return points;
  }

  function shapesIn(node) {
    var own = node.getTotalLength ? [node] : [];
    return own.concat(
      Array.prototype.filter.call(node.querySelectorAll("*"), function (one) {
        return one.getTotalLength && !one.closest("defs, marker, clipPath, mask");
      }),
    );
  }

  // The spot around a part, or inside its edge, that hides least and lies nearest.
  function bestSpot(part, parts, taken, ink, frame) {
    var best = { cost: Infinity, x: 0, y: 0 };
    GAPS_PX.concat([-RING_PX]).forEach(function (gap) {
      for (var way = 0; way < WAYS; way += 1) {
        var turn = (way / WAYS) * 2 * Math.PI;
        var reach = gap + RING_PX / 2;
        var x = part.left + part.width / 2 + Math.cos(turn) * Math.max(0, part.width / 2 + reach);
        var y = part.top + part.height / 2 + Math.sin(turn) * Math.max(0, part.height / 2 + reach);
        var end = endOf(part, { x: x, y: y });
        var cost = costOf({ x: x, y: y }, part, parts, taken, frame) + hidden(ink, x, y) + 2 * Math.hypot(end.x - x, end.y - y);
        if (cost < best.cost) {
          best = { cost: cost, x: x, y: y };
        }
      }
    });
    return best;
  }

  // How much of what is drawn lies under a ring.
  function hidden(ink, x, y) {
    return ink.filter(function (point) {
      return Math.hypot(point.x - x, point.y - y) < RING_PX / 2 + 2;
    }).length * HIDES;
  }

  function costOf(spot, own, parts, taken, frame) {
    var half = RING_PX / 2;
    var ring = { left: spot.x - half, top: spot.y - half, width: RING_PX, height: RING_PX };
    var cost = 0;
    parts.forEach(function (part) {
      // A part as large as the drawing is behind everything: a number on it hides nothing.
      var large = part.width * part.height > 0.3 * frame.width * frame.height;
      cost += overlap(ring, part) * (large ? 0.02 : part === own ? 0.05 : 0.5);
    });
    taken.forEach(function (other) {
      cost += overlap(ring, { left: other.x - half - 3, top: other.y - half - 3, width: RING_PX + 6, height: RING_PX + 6 }) * 10;
    });
    var inside = overlap(ring, { left: 0, top: 0, width: frame.width, height: frame.height });
    return cost + (RING_PX * RING_PX - inside) * 20;
  }

  function overlap(one, other) {
    var across = Math.min(one.left + one.width, other.left + other.width) - Math.max(one.left, other.left);
    var down = Math.min(one.top + one.height, other.top + other.height) - Math.max(one.top, other.top);
    return across > 0 && down > 0 ? across * down : 0;
  }

  function drawLines(drawing, parts, spots, marks, frame) {
    var old = drawing.querySelector(".wy-mark-lines");
    if (old) {
      old.remove();
    }
    var lines = drawn("svg", { class: "wy-mark-lines", viewBox: "0 0 " + frame.width + " " + frame.height, preserveAspectRatio: "none", "aria-hidden": "true", focusable: "false" });
    parts.forEach(function (part, at) {
      var end = endOf(part, spots[at]);
      lines.append(
        drawn("line", { x1: spots[at].x, y1: spots[at].y, x2: end.x, y2: end.y }),
        drawn("circle", { cx: end.x, cy: end.y, r: 3 }),
      );
      if (marks[at].matches(".wy-marker--right")) {
        var box = { x: part.left - 4, y: part.top - 4, width: part.width + 8, height: part.height + 8, rx: 6 };
        lines.append(drawn("rect", Object.assign({ class: "wy-mark-place" }, box)));
      }
    });
    drawing.insertBefore(lines, drawing.querySelector(".wy-marker"));
  }

  // Where it ends in a part without an outline, such as a word: in the middle of a small part, a little inside the edge of a large one.
  // In a long flat part, such as a line of print, it stops near the end: it would strike out what is written there.
  function inPart(part, spot) {
    var middle = { x: part.left + part.width / 2, y: part.top + part.height / 2 };
    var inward = part.width > 6 * part.height ? part.height / 2 : part.width * 0.25;
    var near = {
      x: Math.min(Math.max(spot.x, part.left + inward), part.left + part.width - inward),
      y: Math.min(Math.max(spot.y, part.top + part.height * 0.25), part.top + part.height * 0.75),
    };
    return part.width * part.height < RING_PX * RING_PX ? middle : near;
  }

  // Where the line of a ring ends: on what is drawn of the part, a little inside it where it is filled there.
  function endOf(part, spot) {
    if (!part.ink.length) {
      return inPart(part, spot);
    }
    var near = part.ink.reduce(function (best, point) {
      return Math.hypot(point.x - spot.x, point.y - spot.y) < Math.hypot(best.x - spot.x, best.y - spot.y) ? point : best;
    }, part.ink[0]);
    var far = Math.hypot(near.x - spot.x, near.y - spot.y) || 1;
    var deeper = { x: near.x + ((near.x - spot.x) / far) * INSIDE_PX, y: near.y + ((near.y - spot.y) / far) * INSIDE_PX };
    return isFilled(part, deeper) ? deeper : near;
  }

  function isFilled(part, point) {
    return part.node !== null && shapesIn(part.node).some(function (shape) {
      var place = shape.getScreenCTM();
      var frame = part.node.closest(".wy-drawing").getBoundingClientRect();
      var own = new DOMPoint(point.x + frame.left, point.y + frame.top).matrixTransform(place.inverse());
      return getComputedStyle(shape).fill !== "none" && shape.isPointInFill(own);
    });
  }

  function drawn(tag, attributes) {
    var made = document.createElementNS(SVG, tag);
    Object.keys(attributes).forEach(function (name) {
      made.setAttribute(name, attributes[name]);
    });
    return made;
  }
})();
