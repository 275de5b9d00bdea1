/* The take-away page: ticks and forms become entries of this phone, which are handed over as a file,
   as text, or by sending. No server, no secure page needed. */
(function (kept) {
  "use strict";
  var body = document.body;

  /* ---- showing ---- */
  function show() {
    var entries = kept.all();
    kept.strip(document.getElementById("waiting"));
    document.getElementById("unkept").hidden = !kept.unkept();
    kept.rows(document.querySelector("[data-list]"), entries);
    document.querySelector("[data-none]").hidden = entries.length > 0;
    document.querySelector("[data-hand]").hidden = entries.length === 0;
    document.querySelector("[data-clear]").hidden = !entries.some(function (one) { return one.handed; });
    document.querySelector("[data-let-go]").hidden = !entries.some(onlySaved);
    document.querySelectorAll(".task[data-task]").forEach(function (row) { mark(row, entries); });
    document.querySelectorAll("form[data-form]").forEach(ownLast);
  }
  function mark(row, entries) {
    var tick = entries.filter(function (one) { return one.task === row.dataset.task && !one.refused; })[0];
    var button = row.querySelector(".tick"), logged = row.querySelector(".logged");
    button.classList.toggle("ticked", Boolean(tick));
    button.disabled = Boolean(tick);
    logged.hidden = !tick;
    if (tick) {
      var left = tick.form === "done" && tick.fields.how[0] === "not-done";
      logged.textContent = (left ? "Left, " : tick.fields.how && tick.fields.how[0] === "otherwise" ? "Done otherwise, " : "Done ") + tick.at.slice(11) +
        (tick.handed ? ". Home has it." : ". Waits on this phone.");
    }
  }
  function ownLast(form) {  // what this phone wrote last of this thing, before what home knew
    var names = form.dataset.again.split(" "), place = form.querySelector("[data-own]");
    var last = kept.all().filter(function (one) { return one.form === form.dataset.form && !one.refused; }).slice(-1)[0];
    place.textContent = "";
    if (!last) { return; }
    var fields = {}, words = [];
    names.filter(function (name) { return last.fields[name]; }).forEach(function (name) {
      fields[name] = last.fields[name];
      words = words.concat(name === "surface" || name === "surfaces" || name === "coverage" ? [] : kept.labels(form, name, fields[name]));
    });
    if (!words.length) { return; }
    var press = document.createElement("button");
    press.type = "button";
    press.className = "press";
    press.dataset.fill = JSON.stringify(fields);
    press.textContent = words.join(", ");
    place.appendChild(press);
    form.querySelector(".again").hidden = false;
  }
  function add(form, fields, task, says, photo) { kept.add(form, fields, task, says, photo).then(flush); }

  /* ---- ticks and forms ---- */
  var logged = document.querySelector("[data-logged]");
  function tellLogged(part, words) {  // where the eye is: a form that only closes may be filled in twice
    logged.textContent = "Logged " + kept.now().slice(11) + (words ? ": " + words : "") + ". It is under Entries.";
    logged.hidden = false;
    part.after(logged);
  }
  document.querySelectorAll(".task[data-task]").forEach(function (row) {
    row.querySelectorAll("[data-how]").forEach(function (button) {
      button.addEventListener("click", function () {
        var how = button.dataset.how;
        if (how === "otherwise") { open(row, row.dataset.other, how); return; }
        if (how === "as-written" && row.dataset.form) { open(row, row.dataset.form, ""); return; }
        add("done", { how: [button.dataset.how] }, row.dataset.task, row.dataset.says);
      });
    });
  });
  function open(row, key, how) {
    var part = document.getElementById("form-" + key);
    var form = part.querySelector("form"), note = part.querySelector("[data-for-task]");
    part.open = true;
    form.reset();
    form.dataset.task = row.dataset.task;
    form.dataset.how = how;
    note.hidden = false;
    note.textContent = "For task: " + row.dataset.says;
    kept.fill(form, JSON.parse(row.dataset.fills));
    part.scrollIntoView();
    part.querySelector("summary").focus();
  }
  document.querySelectorAll("form[data-form]").forEach(function (form) {
    form.addEventListener("click", function (event) {
      var press = event.target.closest("[data-fill]");
      if (press) { kept.asLast(form, JSON.parse(press.dataset.fill)); }
    });
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      var fields = {}, words = [], title = form.closest("details").querySelector("summary");
      new FormData(form).forEach(function (value, name) {
        if (typeof value !== "string" || value === "") { return; }
        (fields[name] = fields[name] || []).push(value);
        words = words.concat(kept.labels(form, name, [value]));
      });
      if (form.dataset.how) { fields.how = [form.dataset.how]; }
      var file = form.querySelector("input[type=file]").files[0], press = form.querySelector("button.main");
      var slip = form.querySelector("[data-slip]"), says = title.firstChild.textContent.trim() + ": " + words.join(", ");
      slip.hidden = press.disabled = true;
      (file ? kept.shrunk(file) : Promise.resolve("")).then(function (photo) {
        add(form.dataset.form, fields, form.dataset.task, says + (photo ? ", with a photo" : ""), photo);
        form.reset();
        delete form.dataset.task;
        delete form.dataset.how;
        form.closest("details").querySelector("[data-for-task]").hidden = true;
        form.closest("details").open = false;
        tellLogged(form.closest("details"), words.join(", "));
        title.focus();
      }, function (fault) {
        slip.hidden = false;
        slip.textContent = fault.message;
      }).finally(function () { press.disabled = false; });
    });
  });

  /* ---- handing over ---- */
  function said(words) { document.querySelector("[data-said]").textContent = words; }
  function ids(entries) { return entries.map(function (one) { return one.id; }); }
  function onlySaved(one) { return one.saved && !one.handed; }
  function notHome() { return kept.all().filter(function (one) { return !one.handed; }); }
  document.querySelector("[data-save]").addEventListener("click", function () {
    var link = document.createElement("a"), these = notHome();
    if (!these.length) { these = kept.all(); }
    link.href = URL.createObjectURL(new Blob([kept.parcel(these)], { type: "application/json" }));
    link.download = "lattermath-entries-" + kept.now().slice(0, 10) + ".json";
    link.click();
    kept.saved(ids(these), "saved to a file");
    said("Saved to a file, not yet home: at home choose it on the page Take away. Until home has them they wait here too.");
  });
  document.querySelector("[data-copy]").addEventListener("click", function () {
    var place = document.querySelector("[data-text]"), text = place.querySelector("textarea");
    var all = notHome().length ? notHome() : kept.all();
    var light = all.filter(function (one) { return !one.photo; });  // a photo is no text to paste
    var left = light.length < all.length ? " What has a photo was left out: save it as a file." : "";
    text.value = kept.parcel(light);
    place.hidden = false;
    text.select();
    var copied = false;
    try { copied = document.execCommand("copy"); } catch { copied = false; }
    kept.saved(ids(light), copied ? "copied as text" : "shown as text");
    if (copied) { said("Copied, not yet home: paste it at home on the page Take away." + left); }
    else { said("Copy the text below by hand." + left); }
  });
  function sent() {
    return kept.send().then(function (told) {
      if (told.says.length) { said(told.says.join(" ")); }
      return told;
    });
  }
  // Opened from home it sends by itself. Opened as a file it belongs to no site and may write
  // nothing: it asks what has arrived, and hands the rest to a page of home, where it is pressed.
  // What never left this phone cannot have arrived: until something did, home is not asked unbidden,
  // for most of the time it is out of reach, and its address may be a stranger's where the phone is.
  var there = null, heard = false, PROBE = -5000, WAITS = 6000;
  function flush() {
    if (kept.carried) { if (kept.outside() && navigator.onLine !== false) { kept.learn(PROBE).catch(function () {}); } }
    else if (body.dataset.served === location.origin) { sent().catch(function () {}); }
  }
  function far() {
    return "Home does not answer at " + body.dataset.home + (body.dataset.hereOnly
      ? ", which is the machine itself and no address for a phone. Save the entries as a file, or copy them. " : ". ") +
      "The entries stay on this phone.";
  }
  function openHome() {
    heard = false;
    there = window.open(kept.home + "/hand-over", "lattermath-home");
    var button = document.querySelector("[data-open-home]");
    button.hidden = Boolean(there);
    if (!there) { said("This browser did not open home's page by itself: press the button, or save the entries as a file."); return; }
    said("Home answers; its page opens beside this one.");
    setTimeout(function () {
      if (heard) { return; }
      kept.learn(PROBE).then(function () {
        if (!heard) { said("Home answers, and its page has not asked for the entries. If it wants a code, pair this phone there, then press Send home here once more. They stay on this phone."); }
      }, function () { said(far()); });
    }, WAITS);
  }
  window.addEventListener("message", function (event) {
    if (!there || event.source !== there || event.origin !== kept.home) { return; }
    if (event.data === "lattermath ready") {
      heard = true;
      said("Home's page is open beside this one: press Take them in there. Until home has them they wait here.");
      var these = kept.waiting();
      kept.shown(ids(these)).then(function () { there.postMessage({ lattermathParcel: kept.parcel(these) }, kept.home); });
    } else if (event.data && event.data.lattermathTaken) {
      var told = event.data.lattermathTaken;
      kept.settle(told).then(function () { said("Home says: " + told.says); });
    }
  });
  function sendCarried() {
    if (!kept.waiting().length) { said("Nothing waits."); return; }
    said("Asking for home.");
    kept.learn(PROBE).then(function () {
      if (kept.waiting().length) { openHome(); } else { said("Home has them all."); }
    }, function () {
      said(far());
      document.querySelector("[data-open-home]").hidden = Boolean(body.dataset.hereOnly);
    });
  }
  var send = document.querySelector("[data-send]");
  if (send) {
    document.querySelector("[data-open-home]").addEventListener("click", openHome);
    send.addEventListener("click", function () {
      if (kept.carried) { sendCarried(); return; }
      sent().then(function (told) { if (!told.says.length) { said("Nothing waits."); } })
        .catch(function () { said("Home does not answer. The entries stay on this phone."); });
    });
  }
  document.querySelector("[data-clear]").addEventListener("click", function () {
    kept.drop(ids(kept.all().filter(function (one) { return one.handed; })));
  });
  var sure = document.querySelector("[data-sure]");
  document.querySelector("[data-let-go]").addEventListener("click", function () { sure.hidden = false; sure.focus(); });
  document.querySelector("[data-let-go-no]").addEventListener("click", function () { sure.hidden = true; });
  document.querySelector("[data-let-go-yes]").addEventListener("click", function () {
    sure.hidden = true;
    kept.drop(ids(kept.all().filter(onlySaved)));
  });
  kept.watch(show);
  kept.whenever(flush);
  kept.ready.then(function () {
    document.querySelectorAll("[data-photo]").forEach(function (part) { part.hidden = !kept.roomy(); });
    document.querySelector("[data-no-photos]").hidden = kept.roomy();
    flush();
  });
})(lattermathEntries);
