/* Why nothing fits takes a while: it is asked for when the answer says so, and put there. Without this script a link
   leads to it. */
(function () {
  "use strict";
  var place = null, request = null;
  function look() {
    var now = document.querySelector("#answer [data-fetch]");
    if (now === place) { return; }
    if (request) { request.abort(); }
    place = now;
    if (!now) { return; }
    var link = Array.from(now.childNodes), waits = document.createElement("p");
    waits.textContent = now.dataset.waits;
    now.replaceChildren(waits);
    request = new AbortController();
    fetch(now.dataset.fetch, {credentials: "same-origin", signal: request.signal}).then(function (answer) {
      if (!answer.ok) { throw new Error(); }
      return answer.text();
    }).then(function (text) {
      var told = new DOMParser().parseFromString(text, "text/html").getElementById("change");
      if (now.isConnected && told) { now.replaceChildren.apply(now, Array.from(document.importNode(told, true).childNodes)); }
    }).catch(function () { now.replaceChildren.apply(now, link); });
  }
  if (document.getElementById("answer")) {
    look();
    new MutationObserver(look).observe(document.querySelector("main"), {childList: true, subtree: true});
  }
}());
