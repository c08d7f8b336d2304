/* A form that saves by itself: each change is sent, and of the page that comes back only what differs takes its place.
   What somebody types meanwhile is never touched, and the focus stays where it is. Without this script every form works
   by its button. */
(function () {
  "use strict";
  var form = document.querySelector("form[data-saves]");
  if (!form) { return; }
  var saving = document.getElementById("saving");
  var going = false, again = false, leaving = false, kept = false, wait = null;
  /* what each field held when it was last sent, or when the page came */
  var sent = values();

  function values() {
    var found = {};
    new FormData(form).forEach(function (value, name) { found[name] = value; });
    return found;
  }
  function typed() {
    var now = values();
    return Object.keys(now).filter(function (name) { return !/\bwas$/.test(name) && name !== "own" && now[name] !== sent[name]; });
  }
  function tell(what, more, keep) {
    if (!saving) { return; }
    var told = saving.dataset[what] || "", heard = what === "saved" ? more : "";
    if (what === "failed") { told += more; }
    saving.className = "saving " + what;
    if (keep && saving.textContent === told) { return; }
    saving.textContent = told;
    if (heard) {
      /* the verdict stands in sight already: this is for whoever hears the page */
      var span = document.createElement("span");
      span.className = "unseen";
      span.textContent = heard;
      saving.appendChild(span);
    }
  }

  function send() {
    if (going) { again = true; return; }
    clearTimeout(wait);
    going = true;
    if (saving) { saving.dataset.going = ""; }
    again = false;
    var taken = values();
    var slow = setTimeout(function () { tell("saving"); }, 400);
    var request = new AbortController();
    var late = setTimeout(function () { request.abort(); }, 60000);
    fetch(form.action, {method: "POST", body: new URLSearchParams(taken), headers: {"X-Part": "live"},
      credentials: "same-origin", redirect: "manual", signal: request.signal}).then(function (answer) {
      return answer.text().then(function (text) { return {status: answer.status, text: text}; });
    }).then(function (came) {
      done(came, taken);
    }, function () {
      tell("off", "", true);
      wait = setTimeout(send, 3000);
    }).finally(function () {
      clearTimeout(slow);
      clearTimeout(late);
      going = false;
      if (saving) { delete saving.dataset.going; }
      if (again) { send(); }
    });
  }

  function done(came, taken) {
    var page = new DOMParser().parseFromString(came.text, "text/html");
    if (came.status === 409) {
      /* who rides, or which seats there are, is not what this page shows: the server shows both */
      leaving = true;
      form.submit();
      return;
    }
    if (!page.querySelector("form[data-saves]")) {
      var why = page.querySelector("main .wrong") || page.querySelector("main h1");
      tell("failed", why ? why.textContent : String(came.status));
      if (came.status >= 500 && came.status !== 507) { wait = setTimeout(send, 5000); }
      return;
    }
    sent = taken;
    swap(page, taken);
    var amiss = page.querySelector("[data-wrong]"), whole = page.querySelector("#amiss .wrong li");
    var before = (saving && saving.dataset.verdict) || "", now = page.getElementById("verdict-now");
    var verdict = now ? now.textContent : "";
    if (saving) { saving.dataset.verdict = verdict; }
    kept = Boolean(amiss || whole);                     /* something that was typed stands on this page alone */
    if (whole) { tell("failed", whole.textContent); return; }
    tell(amiss ? "amiss" : "saved", verdict && verdict !== before ? " " + verdict + "." : "");
  }

  function swap(page, taken) {
    var active = document.activeElement, at = active ? active.id : "";
    form.querySelectorAll("[data-shape]").forEach(function (old) {
      var now = old.id && page.getElementById(old.id);
      if (now && now.dataset.shape !== old.dataset.shape) { old.replaceWith(document.importNode(now, true)); }
    });
    document.querySelectorAll("[data-live]").forEach(function (old) {
      var now = old.id && page.getElementById(old.id);
      if (!now || now.outerHTML === old.outerHTML) { return; }
      var top = old.scrollTop;
      now = document.importNode(now, true);
      old.replaceWith(now);
      now.scrollTop = top;
    });
    fields(page, taken);
    if (at && document.activeElement !== active) {
      var back = document.getElementById(at);
      if (back) { back.focus({preventScroll: true}); }
    }
  }

  /* What somebody else wrote meanwhile comes into fields that nobody has touched here since they were sent. */
  function fields(page, taken) {
    var there = page.querySelector("form[data-saves]");
    Array.prototype.forEach.call(form.elements, function (own) {
      if (!own.name || own.type === "hidden" || own.tagName === "BUTTON" || own.name === "own") { return; }
      var now = own.id && page.getElementById(own.id);
      if (!now || !there.contains(now)) { return; }
      if (own.type === "radio") {
        var told = form.elements[own.name];
        if (now.checked && !own.checked && told && told.value === taken[own.name]) { own.checked = true; }
      } else {
        if (own !== document.activeElement && own.value === taken[own.name] && own.value !== now.value) {
          own.value = now.value;
        }
        if (now.getAttribute("aria-invalid")) { own.setAttribute("aria-invalid", "true"); }
        else { own.removeAttribute("aria-invalid"); }
      }
      sent[own.name] = values()[own.name] === taken[own.name] ? taken[own.name] : sent[own.name];
    });
    sent = Object.assign({}, taken, values_of(page, there));
  }
  function values_of(page, there) {
    var found = {};
    new FormData(there).forEach(function (value, name) { found[name] = value; });
    return found;
  }

  form.addEventListener("change", function (event) {
    if (event.target.name && event.target.name !== "own") { send(); }
  });
  form.addEventListener("submit", function (event) {
    if (event.submitter && event.submitter.name) { leaving = true; return; }
    event.preventDefault();
    send();
  });
  window.addEventListener("online", function () { if (typed().length) { send(); } });
  window.addEventListener("beforeunload", function (event) {
    if (!leaving && (kept || typed().length)) { event.preventDefault(); }
  });
}());
