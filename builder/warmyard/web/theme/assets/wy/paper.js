/* A lesson goes to paper: each part that is asked for in a drawing gets its number, whether its step is open or not. */
(function () {
  "use strict";
  var SVG = "http://www.w3.org/2000/svg";
  var WIDE_PX = 400;

  /* A drawing in a closed step has no size, so a copy of it is measured beside the page. */
  function numbered(svg, bench) {
    var copy = svg.cloneNode(true);
    bench.replaceChildren(copy);
    var unit = (copy.viewBox.baseVal && copy.viewBox.baseVal.width ? copy.viewBox.baseVal.width : WIDE_PX) / WIDE_PX;
    var toDrawing = copy.getScreenCTM().inverse();
    Array.prototype.forEach.call(copy.querySelectorAll("[data-point]:not([data-point=''])"), function (part) {
      var box = part.getBoundingClientRect();
      var small = box.width < 60 || box.height < 24;
      var point = new DOMPoint(box.left + (small ? 0 : box.width / 2), box.top + box.height / 2).matrixTransform(toDrawing);
      svg.append(mark(part.getAttribute("data-point").replace(/\D/g, ""), point, unit));
    });
  }

  function mark(number, point, unit) {
    var group = document.createElementNS(SVG, "g");
    group.setAttribute("class", "wy-print-number");
    var disc = document.createElementNS(SVG, "circle");
    var text = document.createElementNS(SVG, "text");
    set(disc, { cx: point.x, cy: point.y, r: 12 * unit, fill: "white", stroke: "black", "stroke-width": 1.5 * unit });
    set(text, { x: point.x, y: point.y + 6 * unit, "text-anchor": "middle", "font-size": 17 * unit, "font-weight": 700, fill: "black" });
    text.textContent = number;
    group.append(disc, text);
    return group;
  }

  function set(element, attributes) {
    Object.keys(attributes).forEach(function (name) { element.setAttribute(name, attributes[name]); });
  }

  function before() {
    var bench = document.createElement("div");
    bench.style.cssText = "position:fixed;left:-2000px;top:0;width:" + WIDE_PX + "px";
    document.body.append(bench);
    document.querySelectorAll(".wy-drawing svg").forEach(function (svg) {
      if (!svg.querySelector(".wy-print-number") && svg.querySelector("[data-point]:not([data-point=''])")) { numbered(svg, bench); }
    });
    bench.remove();
  }

  /* Numbers are for paper alone: on the screen the drawing has its own. */
  function after() {
    document.querySelectorAll(".wy-print-number").forEach(function (one) { one.remove(); });
    document.documentElement.classList.remove("wy-print-carry");
  }

  window.addEventListener("beforeprint", before);
  window.addEventListener("afterprint", after);
})();
