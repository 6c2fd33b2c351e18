// Which one does not belong: answered as a choice is.
(function () {
  "use strict";
  var WY = globalThis.WY;

  WY.kinds["odd-one"] = Object.assign({}, WY.kinds.choice);
})();
