/* The drawing of the car goes along with its questions: the tape of the field in hand stands out, and a place that is
   tapped leads to its question. Without this script its links lead there, too. */
(function () {
  "use strict";
  var lit = "";
  function light(name) {
    lit = name;
    document.querySelectorAll("[data-field]").forEach(function (one) {
      one.classList.toggle("on", one.getAttribute("data-field") === name);
    });
  }
  document.addEventListener("focusin", function (event) {
    var own = event.target.closest(".car .ask");
    light(own ? own.id.replace(/-ask$/, "") : "");
  });
  document.addEventListener("click", function (event) {
    var place = event.target.closest("a[data-field]");
    if (!place) { return; }
    var ask = document.getElementById(place.getAttribute("data-field") + "-ask");
    if (!ask) { return; }
    event.preventDefault();
    var first = ask.querySelector("input:checked") || ask.querySelector("input, select");
    ask.scrollIntoView({block: "center"});
    if (first) { first.focus({preventScroll: true}); }
  });
  /* the drawing comes anew with each answer */
  new MutationObserver(function () { if (lit) { light(lit); } }).observe(document.querySelector(".car") || document.head,
    {childList: true, subtree: true});
}());
