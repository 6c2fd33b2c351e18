// Numbered rings beside the parts of a drawing, each with a line to its part, so that no part lies under a number.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var RING_PX = 28;
  var ROOM_PX = 34;
  var WAYS = 16;
  var GAPS_PX = [4, 14, 26, 42];
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

  // Puts each mark beside its part, and draws the lines; called again when the drawing changes its size.
  WY.placeMarks = function (drawing, marks) {
    var frame = drawing.getBoundingClientRect();
    if (!frame.width || !frame.height) {
      return;
    }
    var parts = marks.map(function (mark) {
      return partOf(drawing, mark.getAttribute("data-for"), frame);
    });
    /** @type {any[]} */
    var taken = [];
    marks.forEach(function (mark, at) {
      var spot = bestSpot(parts[at], parts, taken, frame);
      taken.push(spot);
      mark.style.left = ((spot.x / frame.width) * 100).toFixed(2) + "%";
      mark.style.top = ((spot.y / frame.height) * 100).toFixed(2) + "%";
    });
    drawLines(drawing, parts, taken, marks, frame);
  };

  function partOf(drawing, id, frame) {
    var part = drawing.querySelector('[data-point="' + id + '"]');
    var box = part ? part.getBoundingClientRect() : frame;
    return { left: box.left - frame.left, top: box.top - frame.top, width: box.width, height: box.height };
  }

  // The spot around a part, or inside its edge, that hides least and lies nearest.
  function bestSpot(part, parts, taken, frame) {
    var best = { cost: Infinity, x: 0, y: 0 };
    GAPS_PX.concat([-RING_PX]).forEach(function (gap) {
      for (var way = 0; way < WAYS; way += 1) {
        var turn = (way / WAYS) * 2 * Math.PI;
        var reach = gap + RING_PX / 2;
        var x = part.left + part.width / 2 + Math.cos(turn) * Math.max(0, part.width / 2 + reach);
        var y = part.top + part.height / 2 + Math.sin(turn) * Math.max(0, part.height / 2 + reach);
        var cost = costOf({ x: x, y: y }, part, parts, taken, frame) + Math.abs(gap);
        if (cost < best.cost) {
          best = { cost: cost, x: x, y: y };
        }
      }
    });
    return best;
  }

  function costOf(spot, own, parts, taken, frame) {
    var half = RING_PX / 2;
    var ring = { left: spot.x - half, top: spot.y - half, width: RING_PX, height: RING_PX };
    var cost = 0;
    parts.forEach(function (part) {
      // A part as large as the drawing is behind everything: a number on it hides nothing.
      var large = part.width * part.height > 0.3 * frame.width * frame.height;
      cost += overlap(ring, part) * (large ? 0.05 : part === own ? 0.6 : 1);
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
    var lines = drawn("svg", { class: "wy-mark-lines", viewBox: "0 0 " + frame.width + " " + frame.height, "aria-hidden": "true", focusable: "false" });
    parts.forEach(function (part, at) {
      var end = inPart(part, spots[at]);
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

  // Where the line of a ring ends: in the middle of a small part, a little inside the edge of a large one.
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

  function drawn(tag, attributes) {
    var made = document.createElementNS(SVG, tag);
    Object.keys(attributes).forEach(function (name) {
      made.setAttribute(name, attributes[name]);
    });
    return made;
  }
})();
