/* Questions that change nothing are asked again with every choice, and what came of them takes the place of what stood
   there; the seat ahead slides; what is worked out beside is looked for until it is done. Without this script the
   button of each form does the same. */
(function () {
  "use strict";

  function swap(text) {
    var page = new DOMParser().parseFromString(text, "text/html");
    document.querySelectorAll("main [data-live]").forEach(function (old) {
      var now = old.id && page.getElementById(old.id);
      if (now && now.outerHTML !== old.outerHTML) { old.replaceWith(document.importNode(now, true)); }
    });
    return page;
  }

  function ask(url, done) {
    var request = new AbortController();
    fetch(url, {headers: {"X-Part": "live"}, credentials: "same-origin", signal: request.signal}).then(function (answer) {
      return answer.text();
    }).then(done, function () {});
    return request;
  }

  document.querySelectorAll("form[data-looks]").forEach(function (form) {
    var going = null, wait = null;
    function look() {
      var query = new URLSearchParams(new FormData(form));
      var url = form.action.split("?")[0] + "?" + query;
      var whole = Array.prototype.every.call(form.querySelectorAll("fieldset"), function (one) {
        return !one.querySelector("[type=radio]") || one.querySelector(":checked");
      });
      if (!whole) { return; }
      if (going) { going.abort(); }
      document.querySelectorAll("main [data-live]").forEach(function (one) { one.setAttribute("aria-busy", "true"); });
      going = ask(url, function (text) {
        swap(text);
        document.querySelectorAll("main [aria-busy]").forEach(function (one) { one.removeAttribute("aria-busy"); });
        history.replaceState(null, "", url);
      });
    }
    form.addEventListener("input", function () {
      clearTimeout(wait);
      wait = setTimeout(look, 120);
    });
    form.addEventListener("submit", function (event) { event.preventDefault(); look(); });
  });

  /* a slide and its number say the same */
  document.querySelectorAll("[data-of]").forEach(function (slide) {
    var number = document.getElementById(slide.dataset.of);
    if (!number) { return; }
    slide.hidden = false;
    slide.addEventListener("input", function () { number.value = slide.value; });
    number.addEventListener("input", function () { slide.value = number.value; });
  });

  /* up and down go to the seat in the row before or behind; left and right are the browser's own */
  document.querySelectorAll(".from-above").forEach(function (car) {
    car.addEventListener("keydown", function (event) {
      var step = event.key === "ArrowUp" ? -1 : event.key === "ArrowDown" ? 1 : 0;
      var own = event.target.closest(".tile"), rows = Array.prototype.slice.call(car.children);
      if (!step || !own) { return; }
      var row = rows[rows.indexOf(own.parentNode) + step];
      event.preventDefault();
      if (!row) { return; }
      var middle = own.getBoundingClientRect().left + own.offsetWidth / 2;
      var nearest = Array.prototype.slice.call(row.children).sort(function (one, other) {
        return off(one) - off(other);
      })[0].querySelector("input");
      function off(tile) { return Math.abs(tile.getBoundingClientRect().left + tile.offsetWidth / 2 - middle); }
      nearest.focus();
      nearest.checked = true;
      nearest.dispatchEvent(new Event("input", {bubbles: true}));
    });
  });

  function look_again() {
    var work = document.getElementById("work");
    if (!work || work.dataset.waits === undefined) { return; }
    setTimeout(function () {
      if (document.hidden) { look_again(); return; }
      ask(location.href, function (text) { swap(text); look_again(); });
    }, 1500);
  }
  look_again();

  var wrong = document.getElementById("wrong");
  if (wrong && !document.querySelector("form[data-saves]")) { wrong.focus(); }
}());
