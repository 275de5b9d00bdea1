/* Entries wait on this phone until home has them. Each has an id and an hour of its own from the
   moment it is made, so that handing over twice writes nothing twice. The take-away page and the
   pages of the program share this script and this store; neither needs a secure page. */
var lattermathEntries = (function () {
  "use strict";
  var body = document.body, journal = body.dataset.journal;
  // Opened as a file a page belongs to no site: home may be asked what has arrived, no more.
  var carried = Boolean(body.dataset.home) && location.origin !== body.dataset.served;
  var home = carried ? body.dataset.home : "";
  var SHELF = "lattermath entries " + journal, AT_ONCE = 500, PATIENCE = 8000, ASKED_AT_ONCE = 60;
  var SIDE = 1280, PHOTO_CHARS = 700000, PHOTOS = 20, PHOTOS_AT_ONCE = 3, PHOTO_PATIENCE = 15000;
  var kept = [], sending = null, watchers = [], unkept = false, roomy = false;

  /* ---- the store: IndexedDB, else localStorage, else this page's own memory ---- */
  function asked(request) {
    return new Promise(function (done, failed) {
      request.onsuccess = function () { done(request.result); };
      request.onerror = function () { failed(request.error); };
    });
  }
  function database() {
    return new Promise(function (done, failed) {
      var opening = indexedDB.open("lattermath", 1);
      setTimeout(function () { failed(new Error("the store does not open")); }, 3000);
      opening.onupgradeneeded = function () { opening.result.createObjectStore("entries", { keyPath: "id" }); };
      opening.onsuccess = function () { done(opening.result); };
      opening.onerror = function () { failed(opening.error); };
    }).then(function (base) {
      roomy = true;  // localStorage holds some five million letters, which a few photos fill
      function within(mode, work) {  // done only when it is on the disk
        return new Promise(function (done, failed) {
          var step = base.transaction("entries", mode, { durability: "strict" });
          var result = asked(work(step.objectStore("entries")));
          step.oncomplete = function () { done(result); };
          step.onabort = step.onerror = function () { failed(step.error); };
        });
      }
      return {
        all: function () { return within("readonly", function (store) { return store.getAll(); }); },
        put: function (one) { return within("readwrite", function (store) { return store.put(one); }); },
        drop: function (id) { return within("readwrite", function (store) { return store.delete(id); }); },
      };
    });
  }
  function listed(read, write) {
    function without(id) { return read().filter(function (one) { return one.id !== id; }); }
    return {
      all: function () { return Promise.resolve(read()); },
      put: function (one) { write(without(one.id).concat([one])); return Promise.resolve(); },
      drop: function (id) { write(without(id)); return Promise.resolve(); },
    };
  }
  function memory() {
    var held = kept;
    unkept = true;
    roomy = false;
    return listed(function () { return held; }, function (entries) { held = entries; });
  }
  function plain() {
    localStorage.setItem("lattermath", "1");
    if (localStorage.getItem("lattermath") === null) { throw new Error("not kept"); }
    return listed(
      function () { return JSON.parse(localStorage.getItem(SHELF) || "[]"); },
      function (entries) { localStorage.setItem(SHELF, JSON.stringify(entries)); });
  }
  var store = Promise.resolve().then(database).catch(plain).catch(memory);
  function change(work) {
    return store.then(work)
      .catch(function () {  // full, or put away while we were open
        store = Promise.resolve(memory());
        return store.then(work);
      })
      .then(again);
  }
  function again() {
    return store.then(function (shelf) { return shelf.all(); }).then(function (all) {
      kept = all.filter(function (one) { return one.journal === journal; })
        .sort(function (a, b) { return a.n - b.n || (a.id < b.id ? -1 : 1); });
      watchers.forEach(function (show) { show(); });
    });
  }

  /* ---- ids and hours ---- */
  function two(number) { return String(number).padStart(2, "0"); }
  function local(when) {  // by the plot's clock, whatever zone this phone is set to
    try {
      if (body.dataset.zone) {
        return new Intl.DateTimeFormat("sv-SE", { timeZone: body.dataset.zone, dateStyle: "short", timeStyle: "short" })
          .format(when);
      }
    } catch { /* a zone that this browser does not know: the phone's own */ }
    return when.getFullYear() + "-" + two(when.getMonth() + 1) + "-" + two(when.getDate()) +
      " " + two(when.getHours()) + ":" + two(when.getMinutes());
  }
  function now() {  // on a page made for a day gone by, this hour of that day
    var when = local(new Date());
    return body.dataset.day ? body.dataset.day + when.slice(10) : when;
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

  /* ---- photos: small, upright, and without all that the camera wrote into the file ---- */
  function drawn(file) {
    var address = URL.createObjectURL(file), picture = new Image();
    picture.src = address;
    return picture.decode().then(function () { return picture; })
      .finally(function () { URL.revokeObjectURL(address); });
  }
  function shrunk(file) {  // a promise of a JPEG as base64
    if (kept.filter(function (one) { return one.photo; }).length >= PHOTOS) {
      return Promise.reject(new Error("This phone keeps " + PHOTOS + " photos already. Hand them over, and clear them here."));
    }
    return drawn(file).then(function (picture) {
      var share = Math.min(1, SIDE / Math.max(picture.naturalWidth, picture.naturalHeight));
      var canvas = document.createElement("canvas"), pen = canvas.getContext("2d"), made = "";
      canvas.width = Math.max(1, Math.round(picture.naturalWidth * share));
      canvas.height = Math.max(1, Math.round(picture.naturalHeight * share));
      pen.fillStyle = "white";
      pen.fillRect(0, 0, canvas.width, canvas.height);
      pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
      [0.8, 0.6, 0.4, 0.2].some(function (quality) {
        made = canvas.toDataURL("image/jpeg", quality).split(",")[1] || "";
        return made.length <= PHOTO_CHARS;
      });
      if (!made || made.length > PHOTO_CHARS) { throw new Error("too large"); }
      return made;
    }).catch(function () {
      throw new Error("This picture cannot be read here. Choose a JPEG or PNG, or leave it out; nothing was logged.");
    });
  }

  /* ---- entries ---- */
  function add(form, fields, task, says, photo) {
    var last = kept.length ? kept[kept.length - 1].n : 0;
    var one = { id: newId(), n: last + 1, journal: journal, at: now(), form: form, fields: fields, task: task || "", says: says };
    if (photo) { one.photo = photo; }
    kept = kept.concat([one]);  // two presses in one breath have two numbers
    if (navigator.storage && navigator.storage.persist) { navigator.storage.persist().catch(function () {}); }
    return change(function (shelf) { return shelf.put(one); }).then(function () { return one; });
  }
  function drop(ids) {
    return change(function (shelf) { return Promise.all(ids.map(shelf.drop)); });
  }
  function mark(ids, told) {
    var these = kept.filter(function (one) { return ids.indexOf(one.id) >= 0 && !one.handed; });
    return change(function (shelf) {
      return Promise.all(these.map(function (one) { return shelf.put(Object.assign({}, one, told)); }));
    });
  }
  // Home has their photos: this phone need not keep them.
  function homeHas(ids) { return mark(ids, { handed: now(), refused: "", photo: "" }); }
  function saved(ids, how) { return mark(ids, { saved: now(), how: how }); }  // which is not yet home
  function shown(ids) { return mark(ids, { shown: now() }); }  // to a page of home, which may take them
  function outside() { return kept.some(function (one) { return !one.handed && (one.saved || one.shown); }); }
  function waiting() { return kept.filter(function (one) { return !one.handed && !one.refused; }); }
  function refused() { return kept.filter(function (one) { return !one.handed && one.refused; }); }
  function parcel(entries) {
    return JSON.stringify({
      format: 1, plot: body.dataset.plot, journal: journal, stamp: body.dataset.stamp, clock: new Date().toISOString(),
      entries: entries.map(function (one) {
        var told = { id: one.id, at: one.at, form: one.form, task: one.task, fields: one.fields };
        return one.photo ? Object.assign(told, { photo: one.photo }) : told;
      }),
    }, null, 1);
  }

  /* ---- sending home ---- */
  function ask(address, how, more) {
    var stop = new AbortController(), patience = setTimeout(function () { stop.abort(); }, PATIENCE + (more || 0));
    return fetch(home + address, Object.assign({ signal: stop.signal, cache: "no-store" }, how))
      .then(function (answer) {
        if (!answer.ok) {
          var fault = new Error("home refuses: " + answer.status);
          fault.status = answer.status;
          throw fault;
        }
        return answer.json();
      })
      .finally(function () { clearTimeout(patience); });
  }
  function someOf(entries) {  // in order, a few photos at a time
    var these = [], photos = 0;
    entries.slice(0, AT_ONCE).every(function (one) {
      photos += one.photo ? 1 : 0;
      if (photos <= PHOTOS_AT_ONCE) { these.push(one); }
      return photos <= PHOTOS_AT_ONCE;
    });
    return these;
  }
  function bring(these, text) {  // to the program itself, from a page of its own
    var photos = these.filter(function (one) { return one.photo; }).length;
    return ask("/token").then(function (answer) {
      var headers = { "content-type": "text/plain", "x-lattermath-token": answer.token };
      return ask("/take-in", { method: "POST", body: text, headers: headers }, photos * PHOTO_PATIENCE);
    });
  }
  function settle(answer) {  // what home said of each
    return homeHas(answer.taken.concat(answer.known)).then(function () {
      return Promise.all(answer.refused.map(function (one) {
        return mark([one.id], { refused: one.faults.join(" ") });
      }));
    });
  }
  function together(told, answer) {
    return { taken: told.taken.concat(answer.taken), known: told.known.concat(answer.known),
      refused: told.refused.concat(answer.refused), says: told.says.concat([answer.says]) };
  }
  function deliver(told) {
    var these = someOf(waiting());
    if (!these.length) { return Promise.resolve(told); }
    return bring(these, parcel(these)).then(function (answer) {
      return settle(answer).then(function () {
        var all = together(told, answer);
        return answer.taken.length + answer.known.length + answer.refused.length ? deliver(all) : all;
      });
    });
  }
  function learn(patience) {  // which of ours home has, by whatever way they came there
    var ours = kept.filter(function (one) { return !one.handed; }).map(function (one) { return one.id; });
    var asked = "/arrived?journal=" + encodeURIComponent(journal) + "&ids=" + ours.slice(0, ASKED_AT_ONCE).join(",");
    return ask(asked, {}, patience).then(function (answer) {
      return homeHas(answer.known).then(function () {
        return ours.length > ASKED_AT_ONCE && answer.known.length ? learn(patience) : answer.known;
      });
    });
  }
  function send() {  // one after the other, so that they arrive in order; rejected where home does not answer
    if (carried) { return Promise.reject(new Error("a file may not send by itself")); }
    if (!sending) {
      sending = again().then(function () { return deliver({ taken: [], known: [], refused: [], says: [] }); })
        .finally(function () { sending = null; });
    }
    return sending;
  }
  function whenever(work) {  // whenever home may have come into reach
    window.addEventListener("online", work);
    document.addEventListener("visibilitychange", function () { if (!document.hidden) { work(); } });
    setInterval(function () { if (waiting().length && !document.hidden) { work(); } }, 15000);
  }

  /* ---- showing ---- */
  function some(number, one, many) { return number + (number === 1 ? one : many); }
  function strip(element) {
    var left = waiting(), back = refused();
    element.hidden = left.length + back.length === 0;
    element.querySelector("[data-count]").textContent =
      (left.length ? some(left.length, " entry waits", " entries wait") + " on this phone," : "") +
      (left.length && back.length ? " " : "") + (back.length ? some(back.length, " was", " were") + " refused." : "");
    element.querySelector("[data-since]").textContent =
      left.length ? "the oldest from " + left[0].at.slice(11) + "." : "";
  }
  function button(words, one, work) {
    var made = document.createElement("button");
    made.type = "button";
    made.className = "undo";
    made.textContent = words;
    made.setAttribute("aria-label", words + ": " + one.says);
    made.addEventListener("click", work);
    return made;
  }
  function line(one) {
    var item = document.createElement("li"), time = document.createElement("time");
    var says = document.createElement("div"), state = document.createElement("span");
    time.textContent = one.at.slice(11);
    says.textContent = one.says;
    state.className = "state";
    state.textContent = one.handed ? "home has it since " + one.handed.slice(11)
      : one.refused ? "refused: " + one.refused
      : one.saved ? one.how + " at " + one.saved.slice(11) + ", not yet home" : "waits on this phone";
    says.appendChild(state);
    item.append(time, says);
    if (one.refused && !one.handed) {
      item.appendChild(button("Try again", one, function () { mark([one.id], { refused: "" }).then(send).catch(function () {}); }));
    }
    if (!one.handed) { item.appendChild(button("Undo", one, function () { drop([one.id]); })); }
    return item;
  }
  function rows(list, entries) {
    list.textContent = "";
    entries.slice().reverse().forEach(function (one) { list.appendChild(line(one)); });
  }

  function fill(form, fields) {  // what is not named stays as it is
    Object.keys(fields).forEach(function (name) {
      form.querySelectorAll('[name="' + name + '"]').forEach(function (blank, n) {
        if (blank.type === "radio" || blank.type === "checkbox") { blank.checked = fields[name].indexOf(blank.value) >= 0; }
        else { blank.value = fields[name][n] || ""; }
      });
    });
  }

  function labels(form, name, values) {  // what is chosen by its name, what is written as it is
    return values.map(function (value) {
      var box = Array.from(form.querySelectorAll('[name="' + name + '"]')).filter(function (one) { return one.value === value && one.closest(".choice"); })[0];
      return box ? box.closest(".choice").textContent.trim() : value;
    });
  }
  function asLast(form, fields) {  // as last time; then the next thing to do
    fill(form, fields);
    var next = Array.from(form.querySelectorAll("input[required]")).filter(function (one) {
      return one.type === "radio" ? !form.querySelector('[name="' + one.name + '"]:checked') : one.value === "";
    })[0] || form.querySelector("input[name=counts]") || form.querySelector("button.main");
    next.scrollIntoView({ block: "center" });
    next.focus();
  }

  return {
    fill: fill, asLast: asLast, labels: labels, ready: again(), all: function () { return kept; }, waiting: waiting, refused: refused, unkept: function () { return unkept; },
    roomy: function () { return roomy; }, shrunk: shrunk,
    add: add, drop: drop, saved: saved, shown: shown, outside: outside, parcel: parcel, now: now, send: send, ask: ask, whenever: whenever,
    carried: carried, home: home, someOf: someOf, bring: bring, settle: settle, together: together, learn: learn,
    watch: function (show) { watchers.push(show); show(); }, strip: strip, rows: rows,
  };
})();
