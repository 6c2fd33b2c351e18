// Brings what is asked under the reader's eyes: at the top, below whatever of the page stays there.
(function () {
  "use strict";
  var WY = (globalThis.WY = globalThis.WY || {});
  var ROOM_PX = 8;
  var LAYERS = 4;

  // True where a finger points: a box that takes the focus there calls up a keyboard over half of the page.
  WY.touches = function () {
    return Boolean(globalThis.matchMedia) && matchMedia("(pointer: coarse)").matches;
  };

  // The lower edge of what stands over the page at the height of an element, such as a header or a clock; else 0.
  function coveredDownTo(element) {
    var box = element.getBoundingClientRect();
    var found = document.elementFromPoint(box.left + box.width / 2, Math.max(1, box.top + 1));
    for (var over = found && !element.contains(found) ? found : null; over; over = over.parentElement) {
      var position = getComputedStyle(over).position;
      if (position === "fixed" || position === "sticky") {
        return over.getBoundingClientRect().bottom;
      }
    }
    return 0;
  }

  // Puts the head of an element at the top of the page, under what stays there.
  WY.bringTop = function (element) {
    element.scrollIntoView({ block: "start", behavior: "instant" });
    for (var layer = 0; layer < LAYERS; layer += 1) {
      var edge = coveredDownTo(element);
      var hidden = edge + ROOM_PX - element.getBoundingClientRect().top;
      if (!edge || hidden <= 0) {
        return;
      }
      window.scrollBy({ top: -hidden, behavior: "instant" });
    }
  };

  // A question that opens or changes: keys go to its control, a finger leaves the focus at the question.
  WY.bringQuestion = function (box, control, head) {
    var ask = box.querySelector(".wy-ask");
    if (WY.touches()) {
      ask.setAttribute("tabindex", "-1");
      ask.focus({ preventScroll: true });
    } else {
      control.focus();
    }
    WY.bringTop(head || box);
  };

  // As much scrolling as it needs to be seen, and none where it is.
  WY.bringNear = function (element) {
    if (element) {
      element.scrollIntoView({ block: "nearest", behavior: "instant" });
    }
  };
})();
