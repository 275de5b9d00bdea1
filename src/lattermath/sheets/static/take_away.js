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
    document.querySelectorAll(".task[data-task]").forEach(function (row) { mark(row, entries); });
  }
  function mark(row, entries) {
    var tick = entries.filter(function (one) { return one.task === row.dataset.task && !one.refused; })[0];
    var button = row.querySelector(".tick"), logged = row.querySelector(".logged");
    button.classList.toggle("ticked", Boolean(tick));
    button.disabled = Boolean(tick);
    logged.hidden = !tick;
    if (tick) {
      var left = tick.form === "done" && tick.fields.how[0] === "not-done";
      logged.textContent = (left ? "Left, " : "Done ") + tick.at.slice(11) +
        (tick.handed ? ". Handed over." : ". Waits on this phone.");
    }
  }
  function add(form, fields, task, says, photo) { kept.add(form, fields, task, says, photo).then(flush); }

  /* ---- ticks and forms ---- */
  document.querySelectorAll(".task[data-task]").forEach(function (row) {
    row.querySelectorAll("[data-how]").forEach(function (button) {
      button.addEventListener("click", function () {
        if (button.dataset.how === "as-written" && row.dataset.form) { open(row); return; }
        add("done", { how: [button.dataset.how] }, row.dataset.task, row.dataset.says);
      });
    });
  });
  function open(row) {
    var part = document.getElementById("form-" + row.dataset.form);
    var form = part.querySelector("form"), note = part.querySelector("[data-for-task]");
    part.open = true;
    form.dataset.task = row.dataset.task;
    note.hidden = false;
    note.textContent = "For task: " + row.dataset.says;
    form.querySelectorAll("[name=planting]").forEach(function (choice) {
      if (choice.value === row.dataset.planting) { choice.checked = true; }
    });
    part.scrollIntoView();
    part.querySelector("summary").focus();
  }
  document.querySelectorAll("form[data-form]").forEach(function (form) {
    form.addEventListener("submit", function (event) {
      event.preventDefault();
      var fields = {}, words = [], title = form.closest("details").querySelector("summary");
      new FormData(form).forEach(function (value, name) {
        if (typeof value !== "string" || value === "") { return; }
        (fields[name] = fields[name] || []).push(value);
        words.push(value.replaceAll("_", " "));
      });
      var file = form.querySelector("input[type=file]").files[0], press = form.querySelector("button.main");
      var slip = form.querySelector("[data-slip]"), says = title.firstChild.textContent.trim() + ": " + words.join(", ");
      slip.hidden = press.disabled = true;
      (file ? kept.shrunk(file) : Promise.resolve("")).then(function (photo) {
        add(form.dataset.form, fields, form.dataset.task, says + (photo ? ", with a photo" : ""), photo);
        form.reset();
        delete form.dataset.task;
        form.closest("details").querySelector("[data-for-task]").hidden = true;
        form.closest("details").open = false;
        title.focus();
      }, function (fault) {
        slip.hidden = false;
        slip.textContent = fault.message;
      }).finally(function () { press.disabled = false; });
    });
  });

  /* ---- handing over ---- */
  function said(words) { document.querySelector("[data-said]").textContent = words; }
  function ids() { return kept.all().map(function (one) { return one.id; }); }
  document.querySelector("[data-save]").addEventListener("click", function () {
    var link = document.createElement("a"), these = ids();
    link.href = URL.createObjectURL(new Blob([kept.parcel(kept.all())], { type: "application/json" }));
    link.download = "lattermath-entries-" + kept.now().slice(0, 10) + ".json";
    link.click();
    kept.handed(these);
    said("Saved as a file. At home choose it on the page Take away.");
  });
  document.querySelector("[data-copy]").addEventListener("click", function () {
    var place = document.querySelector("[data-text]"), text = place.querySelector("textarea");
    var light = kept.all().filter(function (one) { return !one.photo; });  // a photo is no text to paste
    var these = light.map(function (one) { return one.id; });
    var left = light.length < kept.all().length ? " What has a photo was left out: save it as a file." : "";
    text.value = kept.parcel(light);
    place.hidden = false;
    text.select();
    var copied = false;
    try { copied = document.execCommand("copy"); } catch { copied = false; }
    if (copied) { kept.handed(these); said("Copied. Paste it at home on the page Take away." + left); }
    else { said("Copy the text below by hand." + left); }
  });
  function sent() {
    return kept.send().then(function (told) {
      if (told.says.length) { said(told.says.join(" ")); }
      return told;
    });
  }
  // Opened from home it sends by itself; opened as a file it belongs to no site, and home refuses it.
  function flush() { if (body.dataset.home === location.origin) { sent().catch(function () {}); } }
  var send = document.querySelector("[data-send]");
  if (send) {
    send.addEventListener("click", function () {
      sent().then(function (told) { if (!told.says.length) { said("Nothing waits."); } })
        .catch(function () { said("Home does not answer. The entries stay on this phone."); });
    });
  }
  document.querySelector("[data-clear]").addEventListener("click", function () {
    kept.drop(kept.all().filter(function (one) { return one.handed; }).map(function (one) { return one.id; }));
  });
  kept.watch(show);
  kept.whenever(flush);
  kept.ready.then(function () {
    document.querySelectorAll("[data-photo]").forEach(function (part) { part.hidden = !kept.roomy(); });
    document.querySelector("[data-no-photos]").hidden = kept.roomy();
    flush();
  });
})(lattermathEntries);
