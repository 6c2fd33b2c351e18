// Read an instrument: its drawing stands above the same box as for a number.
(function () {
  "use strict";
  var WY = globalThis.WY;

  WY.kinds.reading = Object.assign({}, WY.kinds.numeric, {
    rungs: function () {
      return [];
    },
    control: function (question) {
      var number = WY.kinds.numeric.control(question);
      var drawing = WY.builtHtml("div", { class: "wy-drawing wy-drawing--instrument" }, question.drawing);
      return Object.assign({}, number, { element: WY.element("div", {}, drawing, number.element) });
    },
  });
})();
