// Filters the arrangements of a report by where riders sit. Everything is in the page without it; all it does is hide
// lines and count them. An element that can be filtered names the seats of all riders, in their order, in data-at.
(function () {
  "use strict";
  var choose = document.getElementById("choose");
  addEventListener("beforeprint", function () {
    document.querySelectorAll("details").forEach(function (one) { one.open = true; });
  });
  if (!choose) { return; }
  var lines = Array.prototype.slice.call(document.querySelectorAll("#all tr[data-at]"));
  var drawn = Array.prototype.slice.call(document.querySelectorAll("#best article[data-at]"));
  var selects = Array.prototype.slice.call(choose.querySelectorAll("select"));
  var remains = document.getElementById("remains");
  var went = document.getElementById("went");

  function keeps(line, select) {
    var at = line.getAttribute("data-at").split(" ")[select.getAttribute("data-rider")];
    var asked = select.value;
    return !asked || (asked[0] === "!" ? at !== asked.slice(1) : at === asked);
  }

  function name(select) {
    return select.previousElementSibling.textContent;
  }

  function words(select) {
    return name(select) + " " + select.options[select.selectedIndex].textContent;
  }

  function square(select) {
    return document.querySelector('#grid td[data-rider="' + select.getAttribute("data-rider") + '"][data-seat="' +
      select.value.replace("!", "") + '"]');
  }

  function say(text) {
    var item = document.createElement("li");
    item.textContent = text;
    went.appendChild(item);
  }

  function show() {
    var asked = selects.filter(function (select) { return select.value; });
    var left = lines.filter(function (line) {
      return asked.every(function (select) { return keeps(line, select); });
    });
    lines.forEach(function (line) { line.hidden = left.indexOf(line) < 0; });
    drawn.forEach(function (one) {
      one.hidden = !asked.every(function (select) { return keeps(one, select); });
      var link = document.querySelector('#best nav a[href="#' + one.id + '"]');
      if (link) { link.parentNode.hidden = one.hidden; }
    });
    var list = document.querySelector("#all details");
    if (list && asked.length && drawn.every(function (one) { return one.hidden; })) { list.open = true; }
    var shut = document.querySelector("#best > details");
    if (shut && asked.length) {
      shut.open = drawn.some(function (one) { return !one.hidden && shut.contains(one); });
    }
    went.textContent = "";
    if (!asked.length) {
      remains.textContent = "All " + lines.length + " listed arrangements are shown.";
      return;
    }
    remains.textContent = left.length + " of " + lines.length + " listed arrangements remain" +
      (left.length ? ": the best is number " + left[0].querySelector("th").textContent + "." : ".");
    if (left.length && drawn.every(function (one) { return one.hidden; })) {
      say("None of them is drawn here: `" + choose.getAttribute("data-draw") + " --arrangement " +
        left[0].querySelector("th").textContent + " -o plan.svg` draws the best.");
    }
    asked.forEach(function (select) {
      var lost = lines.filter(function (line) { return !keeps(line, select); }).length;
      say(lost + " went: they have " + name(select) + (select.value[0] === "!" ? " at " + select.value.slice(1)
        : " elsewhere than at " + select.value) + ".");
      var cell = select.value[0] === "!" ? null : square(select);
      if (cell && lost === lines.length) {
        say(words(select) + ": " + cell.getAttribute("data-word") +
          (cell.getAttribute("data-why") ? ". " + cell.getAttribute("data-why") : "") + ".");
      }
    });
    if (!left.length && asked.length > 1) { say("Each may be had by itself; no listed arrangement has all of them."); }
  }

  choose.hidden = false;
  choose.addEventListener("change", show);
  choose.querySelector("form").addEventListener("submit", function (event) { event.preventDefault(); });
  choose.querySelector("form").addEventListener("reset", function () { setTimeout(show, 0); });
  show();
}());
