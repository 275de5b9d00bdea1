/* The take-away page: entries are kept on this phone until they are handed over, each with an id
   of its own, so that handing over twice writes nothing twice. No server, no secure page needed. */
(function () {
  "use strict";
  var body = document.body;
  var shelf = "lattermath entries " + body.dataset.plot;
  var memory = null;  // where the browser keeps nothing

  function read() {
    if (memory) { return memory; }
    try { return JSON.parse(localStorage.getItem(shelf) || "[]"); } catch { return []; }
  }
  function write(entries) {
    try {
      localStorage.setItem(shelf, JSON.stringify(entries));
      if (localStorage.getItem(shelf) === null) { throw new Error("not kept"); }
      memory = null;
    } catch {
      memory = entries;
      document.getElementById("unkept").hidden = false;
    }
    show();
  }
  function two(number) { return String(number).padStart(2, "0"); }
  function local(when) {
    return when.getFullYear() + "-" + two(when.getMonth() + 1) + "-" + two(when.getDate()) +
      " " + two(when.getHours()) + ":" + two(when.getMinutes());
  }
  function now() {  // on a page made for a day gone by, this hour of that day
    var when = new Date();
    return body.dataset.day ? body.dataset.day + local(when).slice(10) : local(when);
  }
  function newId() {  // a UUID of version 7 (RFC 9562, section 5.7)
    var bytes = crypto.getRandomValues(new Uint8Array(16));
    var ms = Date.now();
    for (var n = 5; n >= 0; n -= 1) { bytes[n] = ms % 256; ms = Math.floor(ms / 256); }
    bytes[6] = 0x70 | (bytes[6] & 0x0f);
    bytes[8] = 0x80 | (bytes[8] & 0x3f);
    var hex = Array.from(bytes, function (b) { return b.toString(16).padStart(2, "0"); }).join("");
    return hex.replace(/(.{8})(.{4})(.{4})(.{4})(.{12})/, "$1-$2-$3-$4-$5");
  }
  function add(form, fields, task, says) {
    var entries = read();
    entries.push({ id: newId(), at: now(), form: form, fields: fields, task: task || "", says: says });
    write(entries);
  }
  function waiting() { return read().filter(function (one) { return !one.handed; }); }
  function counted(number) { return number + (number === 1 ? " entry waits" : " entries wait"); }

  /* ---- showing ---- */
  var list = document.querySelector("[data-list]");
  function show() {
    var entries = read(), left = waiting();
    var strip = document.getElementById("waiting");
    strip.hidden = left.length === 0;
    if (left.length) {
      strip.querySelector("[data-count]").textContent = counted(left.length) + " on this phone,";
      strip.querySelector("[data-since]").textContent = "the oldest from " + left[0].at.slice(11) + ".";
    }
    list.textContent = "";
    entries.slice().reverse().forEach(function (one) { list.appendChild(line(one)); });
    document.querySelector("[data-none]").hidden = entries.length > 0;
    document.querySelector("[data-hand]").hidden = entries.length === 0;
    document.querySelector("[data-clear]").hidden = !entries.some(function (one) { return one.handed; });
    document.querySelectorAll(".task[data-task]").forEach(function (row) { mark(row, entries); });
  }
  function line(one) {
    var item = document.createElement("li"), time = document.createElement("time");
    var says = document.createElement("div"), state = document.createElement("span");
    time.textContent = one.at.slice(11);
    says.textContent = one.says;
    state.className = "state";
    state.textContent = one.handed ? "handed over " + one.handed.slice(11) : "waits on this phone";
    says.appendChild(state);
    item.append(time, says);
    if (!one.handed) {
      var undo = document.createElement("button");
      undo.type = "button";
      undo.className = "undo";
      undo.textContent = "Undo";
      undo.setAttribute("aria-label", "Undo: " + one.says);
      undo.addEventListener("click", function () {
        write(read().filter(function (other) { return other.id !== one.id; }));
      });
      item.appendChild(undo);
    }
    return item;
  }
  function mark(row, entries) {
    var tick = entries.filter(function (one) { return one.task === row.dataset.task; })[0];
    var button = row.querySelector(".tick"), logged = row.querySelector(".logged");
    button.classList.toggle("ticked", Boolean(tick));
    button.disabled = Boolean(tick);
    logged.hidden = !tick;
    if (tick) {
      var left = tick.form === "done" && tick.fields.how[0] === "not-done";
      logged.textContent = (left ? "Left, " : "Done ") + tick.at.slice(11) + ". Waits on this phone.";
    }
  }

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
        if (value === "") { return; }
        (fields[name] = fields[name] || []).push(String(value));
        words.push(String(value).replaceAll("_", " "));
      });
      add(form.dataset.form, fields, form.dataset.task, title.firstChild.textContent.trim() + ": " + words.join(", "));
      form.reset();
      delete form.dataset.task;
      form.closest("details").querySelector("[data-for-task]").hidden = true;
      form.closest("details").open = false;
      title.focus();
    });
  });

  /* ---- handing over ---- */
  function parcel() {
    return JSON.stringify({
      format: 1, plot: body.dataset.plot, stamp: body.dataset.stamp, clock: new Date().toISOString(),
      entries: read().map(function (one) {
        return { id: one.id, at: one.at, form: one.form, task: one.task, fields: one.fields };
      }),
    }, null, 1);
  }
  function handed(ids) {
    var at = now();
    write(read().map(function (one) {
      return !one.handed && ids.indexOf(one.id) >= 0 ? Object.assign({}, one, { handed: at }) : one;
    }));
  }
  function said(words) { document.querySelector("[data-said]").textContent = words; }
  function ids() { return waiting().map(function (one) { return one.id; }); }
  document.querySelector("[data-save]").addEventListener("click", function () {
    var link = document.createElement("a"), these = ids();
    link.href = URL.createObjectURL(new Blob([parcel()], { type: "application/json" }));
    link.download = "lattermath-entries-" + now().slice(0, 10) + ".json";
    link.click();
    handed(these);
    said("Saved as a file. Take it in at home: lattermath take-in FILE.");
  });
  document.querySelector("[data-copy]").addEventListener("click", function () {
    var place = document.querySelector("[data-text]"), text = place.querySelector("textarea"), these = ids();
    text.value = parcel();
    place.hidden = false;
    text.select();
    var copied = false;
    try { copied = document.execCommand("copy"); } catch { copied = false; }
    if (copied) { handed(these); said("Copied. Paste it at home into Take in."); }
    else { said("Copy the text below by hand."); }
  });
  var send = document.querySelector("[data-send]");
  if (send) {
    send.addEventListener("click", function () {
      fetch(body.dataset.home + "/token")
        .then(function (answer) { return answer.json(); })
        .then(function (answer) {
          var headers = { "content-type": "text/plain", "x-lattermath-token": answer.token };
          return fetch(body.dataset.home + "/take-in", { method: "POST", body: parcel(), headers: headers });
        })
        .then(function (answer) { return answer.json(); })
        .then(function (answer) { handed(answer.taken.concat(answer.known)); said(answer.says); })
        .catch(function () { said("Home does not answer. The entries stay on this phone."); });
    });
  }
  document.querySelector("[data-clear]").addEventListener("click", function () {
    write(read().filter(function (one) { return !one.handed; }));
  });
  show();
})();
