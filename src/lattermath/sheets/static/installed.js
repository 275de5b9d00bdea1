/* The pages of the program on a phone: what is pressed is kept first and sent then, so that a cut
   network loses nothing; where the address allows it, the pages themselves are kept too. */
(function (kept) {
  "use strict";
  if (!document.body.dataset.journal) { return; }  // no journal can be read: nothing to write into
  var body = document.body, strip = document.getElementById("outbox");
  var secure = window.isSecureContext && "serviceWorker" in navigator;

  /* ---- what waits ---- */
  function show() {
    kept.strip(strip);
    document.getElementById("unkept").hidden = !kept.unkept();
    kept.rows(strip.querySelector("[data-list]"), kept.waiting().concat(kept.refused()));
    document.querySelectorAll(".task[data-task]").forEach(mark);
  }
  function mark(row) {
    var tick = kept.waiting().filter(function (one) { return one.task === row.dataset.task; })[0];
    var logged = row.querySelector("[data-waits]"), button = row.querySelector("button.tick");
    logged.hidden = !tick;
    if (tick) {
      var left = tick.form === "done" && tick.fields.how[0] === "not-done";
      logged.textContent = (left ? "Left, " : "Done ") + tick.at.slice(11) + ". Waits on this phone.";
    }
    if (!row.dataset.done) { button.disabled = Boolean(tick); button.classList.toggle("ticked", Boolean(tick)); }
  }
  function said(words) { strip.querySelector("[data-said]").textContent = words; }
  var stale = false;  // this page came from the phone, because home was silent too long
  function offline(yes) { document.getElementById("offline").hidden = !(yes || stale); }
  function away(fault) {  // home did not answer; what was entered is safe
    said(fault && fault.status === 401 ? "This phone is not paired any more: pair it again, and they go home."
      : "Home does not answer. They stay here and go by themselves when it does.");
    offline(true);
  }
  function flush() {
    return kept.send().then(function (told) {
      offline(false);
      if (told.says.length) { said(told.says.join(" ")); }
      return told;
    });
  }
  function quietly() { if (kept.waiting().length) { flush().catch(away); } }
  strip.querySelector("[data-send]").addEventListener("click", function () { flush().catch(away); });

  /* ---- forms: kept first, then sent ---- */
  function had(told, one) { return told.taken.concat(told.known).indexOf(one.id) >= 0; }
  function log(form, key) {  // a photo is made small first, and waits with its entry
    var file = picked(form), press = form.querySelector("button.main");
    press.disabled = true;
    window.addEventListener("beforeunload", stay);  // a phone takes a second over a large photo
    (file ? kept.shrunk(file) : Promise.resolve("")).then(function (photo) {
      return entered(form, key, photo);
    }, function (fault) { unread(form, fault.message); }).finally(function () {
      window.removeEventListener("beforeunload", stay);
      press.disabled = false;
    });
  }
  function stay(event) { event.preventDefault(); }
  function unread(form, words) {
    var slip = form.querySelector("[data-slip]");
    slip.hidden = !words;
    slip.textContent = words;
    if (words) { slip.scrollIntoView({ block: "center" }); }
  }
  function entered(form, key, photo) {
    var fields = {}, words = [];
    new FormData(form).forEach(function (value, name) {
      if (typeof value !== "string" || value === "" || name === "id" || name === "task" || name === "token") { return; }
      (fields[name] = fields[name] || []).push(value);
      if (name === "how") { return; }
      words = words.concat(kept.labels(form, name, [value]));
    });
    var task = form.elements.task ? form.elements.task.value : new URLSearchParams(location.search).get("task");
    var how = new URLSearchParams(location.search).get("how");
    if (how && task) { fields.how = [how]; }  // a page that was kept knows neither
    var title = document.querySelector("h1").textContent;
    unread(form, "");
    return kept.add(key, fields, task, title + ": " + words.join(", ") + (photo ? ", with a photo" : ""), photo).then(function (one) {
      window.removeEventListener("beforeunload", stay);  // it is kept: whoever leaves now loses nothing
      return flush().then(function (told) {
        if (had(told, one)) { location.assign(task ? "/?said=" + one.id + "#task-" + task : "/log?said=" + one.id); return; }
        if (!told.refused.some(function (other) { return other.id === one.id; })) { return; }  // still waits
        // Refused while we look: the program's own page says what to mend, with all that was written.
        return kept.drop([one.id]).then(function () { form.elements.id.value = one.id; form.submit(); });
      }, function (fault) {
        form.reset();
        away(fault);
        strip.scrollIntoView();
        strip.focus();
      });
    });
  }
  function done(row, how) {
    kept.add("done", { how: [how] }, row.dataset.task, row.dataset.says).then(function (one) {
      return flush().then(function (told) {
        if (had(told, one)) { location.hash = row.id; location.reload(); }
      }, away);
    });
  }
  function picked(form) {
    var blank = form.querySelector("input[type=file]");
    return blank && blank.files.length ? blank.files[0] : null;
  }
  function straight(form) {  // without room for photos here they go with their form, or not at all
    kept.ask("/state").then(function () { form.submit(); }, function () {
      unread(form, "This browser has no room to keep a photo, and home does not answer. Leave it out; nothing was logged.");
    });
  }
  document.addEventListener("click", function (event) {
    var press = event.target.closest("form.entry [data-fill]");
    if (press) { event.preventDefault(); kept.asLast(press.closest("form"), JSON.parse(press.dataset.fill)); }
  });
  document.addEventListener("submit", function (event) {
    var form = event.target, row = form.closest(".task[data-task]"), press = event.submitter;
    var to = form.getAttribute("action") || "";  // a blank of the same name would hide the property
    if (form.getAttribute("method") !== "post") { return; }
    if (form.classList.contains("entry") && to.indexOf("/log/") === 0) {
      event.preventDefault();
      if (picked(form) && !kept.roomy()) { straight(form); } else { log(form, to.slice(5)); }
    } else if (row && to === "/done" && press) {
      event.preventDefault();
      if (press.value === "as-written" && row.dataset.form) {
        location.assign("/log/" + row.dataset.form + "?task=" + row.dataset.task);
      } else { done(row, press.value); }
    } else if (!form.dataset.sure && (navigator.onLine === false || !document.getElementById("offline").hidden)) {
      event.preventDefault();  // the rest asks the program itself: first whether it is there
      kept.ask("/state").then(function () {
        form.dataset.sure = "yes";
        form.requestSubmit(press);
      }, function () {
        strip.hidden = false;
        said("This needs the network: nothing was changed.");
        strip.focus();
      });
    }
  });

  /* ---- the pages themselves ---- */
  function keepPages() {
    var had = Boolean(navigator.serviceWorker.controller);  // a new worker keeps all pages anyway
    navigator.serviceWorker.register("/installed-worker.js").then(function () {
      return navigator.serviceWorker.ready;
    }).then(function (worker) {
      var stamp = body.dataset.stamp, known = localStorage.getItem("lattermath kept");
      if (stamp && had && known !== stamp) { worker.active.postMessage("keep"); }
      if (stamp) { localStorage.setItem("lattermath kept", stamp); }
    }).catch(function () { offers(false); });  // as under a certificate that the phone does not trust
  }
  function offers(installing) {  // the page says which way it can offer where it stands
    document.querySelectorAll("[data-if-secure]").forEach(function (part) {
      part.hidden = (part.dataset.ifSecure === "yes") !== installing;
    });
  }
  offers(secure);
  if (secure) { keepPages(); }
  function look() {  // a page that was kept says so, and whether a newer plan is there
    return kept.ask("/state").then(function (state) {
      offline(false);
      document.getElementById("newer").hidden = !(stale || (state.stamp && state.stamp !== body.dataset.stamp)) ||
        document.getElementById("fresh") !== null;  // which says so by itself
    }).catch(away);
  }
  if (secure) {
    navigator.serviceWorker.addEventListener("message", function (event) {
      if (event.data === "kept" && !stale) { stale = true; offline(true); look(); }
    });
    navigator.serviceWorker.startMessages();
    look();
  }
  window.addEventListener("offline", function () { away(); });
  window.addEventListener("online", look);
  kept.watch(show);
  kept.whenever(quietly);
  kept.ready.then(function () {
    var today = kept.now().slice(0, 10);  // what was handed over on other days need not be shown again
    var old = kept.all().filter(function (one) { return one.handed && one.handed.slice(0, 10) !== today; });
    if (old.length) { kept.drop(old.map(function (one) { return one.id; })); }
    quietly();
  });
})(lattermathEntries);
