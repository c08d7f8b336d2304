// Filters the arrangements of a report by where riders sit. Everything is in the page without it; all it does is hide
// lines and count them. An element that can be filtered names the seats of all riders, in their order, in data-at. What
// it says, in the language of the page, stands in data-words; seats and cautions, by number, at the list.
(function () {
  "use strict";
  // what is meant for paper is open there, in browsers whose style sheets cannot open it as well; then as it was
  var shutAgain = [];
  addEventListener("beforeprint", function () {
    document.querySelectorAll("details.paper:not([open])").forEach(function (one) {
      one.open = true;
      shutAgain.push(one);
    });
  });
  addEventListener("afterprint", function () {
    shutAgain.splice(0).forEach(function (one) { one.open = false; });
  });
  document.querySelectorAll(".choose").forEach(function (choose) {
    filter(choose, choose.closest("[data-plan]") || document);
  });

  // what is chosen acts on one plan: the whole page, or the section of one vehicle
  function filter(choose, plan) {
    var lines = Array.prototype.slice.call(plan.querySelectorAll(".all tr[data-at]"));
    var drawn = Array.prototype.slice.call(plan.querySelectorAll(".best article[data-at]"));
    var selects = Array.prototype.slice.call(choose.querySelectorAll("select"));
    var remains = choose.querySelector(".remains");
    var went = choose.querySelector(".went");
    var told = JSON.parse(choose.getAttribute("data-words"));
    var list = plan.querySelector(".all");
    var everySeat = JSON.parse(list.getAttribute("data-seats"));
    var everyCaution = JSON.parse(list.getAttribute("data-cautions"));
    var held = JSON.parse(list.getAttribute("data-lines"));        // of each line: verdict, seats, cautions
    var answer = choose.closest(".answer");
    var unpinned = answer.querySelector(".verdict").textContent;

    function filled(key, fields) {
      return told[key].replace(/\{(\w+)\}/g, function (whole, name) {
        return Object.prototype.hasOwnProperty.call(fields, name) ? fields[name] : whole;
      });
    }

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
      return plan.querySelector('.grid td[data-rider="' + select.getAttribute("data-rider") + '"][data-seat="' +
        select.value.replace("!", "") + '"]');
    }

    function say(text) {
      var item = document.createElement("li");
      item.textContent = text;
      went.appendChild(item);
    }

    // put a text where it differs, so that a screen reader tells no more than what changed
    function put(element, text) {
      if (element.textContent !== text) { element.textContent = text; }
    }

    // the answer on top: the best that remains, or that nothing does
    function answered(asked, left) {
      var best = left.length ? left[0] : null;
      var its = best ? held[lines.indexOf(best)] : null;
      var pins = asked.map(words).join(", ");
      var cells = asked.length === 1 ? square(asked[0]) : null;
      var why = cells && !best ? cells.getAttribute("data-why") : null;
      put(answer.querySelector(".verdict"), !asked.length ? unpinned :
        best ? told[its[0]] :
        choose.hasAttribute("data-complete") || why ? told.rejected : filled("beyond", {n: lines.length}));
      put(answer.querySelector(".with"), !asked.length ? "" :
        best ? filled("pinned", {asked: pins, best: best.querySelector("th").textContent}) :
        filled(why ? "why" : "nowhere", {asked: pins, why: why}));
      answer.classList.toggle("pinned", asked.length > 0);
      answer.querySelector(".first").hidden = asked.length > 0;
      answer.querySelector(".seated").hidden = !best;
      var noted = answer.querySelector(".noted");
      noted.textContent = "";
      if (!best) { return; }
      its[1].forEach(function (seat, n) {
        var row = answer.querySelectorAll(".seated tbody tr")[n];
        everySeat[seat].forEach(function (text, i) { put(row.children[i], text); });
      });
      its[2].forEach(function (caution) {
        noted.appendChild(document.createElement("li")).textContent = everyCaution[caution];
      });
    }

    function show() {
      var asked = selects.filter(function (select) { return select.value; });
      var left = lines.filter(function (line) {
        return asked.every(function (select) { return keeps(line, select); });
      });
      lines.forEach(function (line) { line.hidden = left.indexOf(line) < 0; });
      drawn.forEach(function (one) {
        one.hidden = !asked.every(function (select) { return keeps(one, select); });
        var link = plan.querySelector('.best nav a[href="#' + one.id + '"]');
        if (link) { link.parentNode.hidden = one.hidden; }
      });
      if (asked.length && drawn.every(function (one) { return one.hidden; })) {
        list.querySelector("details").open = true;
      }
      var shut = plan.querySelector(".best > details");
      if (shut && asked.length) {
        shut.open = drawn.some(function (one) { return !one.hidden && shut.contains(one); });
      }
      answered(asked, left);
      went.textContent = "";
      if (!asked.length) {
        remains.textContent = filled("all", {n: lines.length});
        return;
      }
      var best = left.length ? left[0].querySelector("th").textContent : "";
      remains.textContent = filled(left.length ? "left" : "none", {left: left.length, n: lines.length, best: best});
      if (left.length && drawn.every(function (one) { return one.hidden; })) {
        say(filled("undrawn", {draw: choose.getAttribute("data-draw"), best: best}));
      }
      asked.forEach(function (select) {
        var lost = lines.filter(function (line) { return !keeps(line, select); }).length;
        say(filled(select.value[0] === "!" ? "there" : "elsewhere",
          {n: lost, rider: name(select), seat: select.value.replace("!", "")}));
        var cell = select.value[0] === "!" ? null : square(select);
        if (cell && lost === lines.length && cell.hasAttribute("data-there")) {
          say(filled("unlisted", {n: lines.length, rider: name(select), seat: select.value,
            there: cell.getAttribute("data-there"), ask: cell.getAttribute("data-ask")}));
        } else if (cell && lost === lines.length) {
          say(words(select) + ": " + cell.getAttribute("data-word") +
            (cell.getAttribute("data-why") ? ". " + cell.getAttribute("data-why") : "") + ".");
        }
      });
      if (!left.length && asked.length > 1) {
        say(filled("together", {}));
      }
    }

    choose.hidden = false;
    choose.addEventListener("change", show);
    choose.querySelector("form").addEventListener("submit", function (event) { event.preventDefault(); });
    choose.querySelector("form").addEventListener("reset", function () { setTimeout(show, 0); });
    show();
  }
}());
