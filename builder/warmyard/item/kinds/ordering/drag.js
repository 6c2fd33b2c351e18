// A placed step is dragged to another place; a finger rests on it first, so that the page can still be scrolled.
(function () {
  "use strict";
  var WY = globalThis.WY;
  var REST_MS = 250;
  var SLACK_PX = 8;

  // Takes the list, a row, what says whether a row is placed, and what is called before and after a move.
  WY.dragStep = function (list, row, isPlaced, before, after) {
    /** @type {any} */
    var held = null;
    row.addEventListener("pointerdown", function (event) {
      if (!event.button && isPlaced(row) && !list.matches(".wy-placing--locked")) {
        held = grip(list, row, isPlaced, { before: before, after: after }, event);
      }
    });
    // While a step is held the page stays where it is.
    row.addEventListener("touchmove", function (event) {
      if (held && held.live) {
        event.preventDefault();
      }
    }, { passive: false });
  };

  // One pointer on one row, followed over the whole page: a quick hand has left the row before its first move is seen.
  function grip(list, row, isPlaced, told, start) {
    var held = { live: false, moved: false };
    var timer = setTimeout(function () {
      held.live = true;
      row.classList.add("wy-order-step--held");
    }, start.pointerType === "mouse" ? 0 : REST_MS);

    function follow(event) {
      var far = Math.max(Math.abs(event.clientY - start.clientY), Math.abs(event.clientX - start.clientX)) > SLACK_PX;
      if (event.pointerId !== start.pointerId || !far) {
        return;
      }
      if (!held.live) {
        end();
        return;
      }
      if (!held.moved) {
        held.moved = true;
        told.before();
      }
      moveTo(list, row, isPlaced, event.clientY);
    }

    function end() {
      clearTimeout(timer);
      held.live = false;
      row.classList.remove("wy-order-step--held");
      window.removeEventListener("pointermove", follow);
      window.removeEventListener("pointerup", end);
      window.removeEventListener("pointercancel", end);
      if (held.moved) {
        told.after();
        skipOneClick(row);
      }
    }

    window.addEventListener("pointermove", follow);
    window.addEventListener("pointerup", end);
    window.addEventListener("pointercancel", end);
    return held;
  }

  // The click that ends a drag is no tap.
  function skipOneClick(row) {
    row.wyDragged = true;
    setTimeout(function () {
      row.wyDragged = false;
    }, 0);
  }

  // Puts a row where the pointer is, among the placed ones.
  function moveTo(list, row, isPlaced, y) {
    var others = Array.prototype.filter.call(list.children, function (one) {
      return one !== row && isPlaced(one);
    });
    var next = others.filter(function (one) {
      var box = one.getBoundingClientRect();
      return y < box.top + box.height / 2;
    })[0];
    var last = others[others.length - 1];
    var place = next || (last ? last.nextElementSibling : row.nextElementSibling);
    if (place !== row && row.nextElementSibling !== place) {
      list.insertBefore(row, place);
    }
  }
})();
