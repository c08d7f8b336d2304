(function () {
  "use strict";
  if (!document.querySelector(".next-family")) { return; }
  // a page that the browser kept for its Back button is not shown: it is asked for again, and may be locked by now
  window.addEventListener("pagehide", function () { document.documentElement.hidden = true; });
  window.addEventListener("pageshow", function (event) {
    if (event.persisted) { window.location.reload(); } else { document.documentElement.hidden = false; }
  });
  var first = document.getElementById("wrong") || document.getElementById("told");
  if (first) { first.focus(); }
}());
