/* Entries of a page that was opened as a file: it opened this page and gives them to it. They are
   shown, and go in once the grower presses; the other page is then told what became of each. */
(function (kept) {
  "use strict";
  var place = document.getElementById("hand-over"), titles = JSON.parse(place.dataset.titles);
  var press = place.querySelector("[data-take-in]"), other = window.opener, parcel = null;
  var PAUSE = 1000;  // a press meant for what stood here before must not be one for this
  var HOWS = { "as-written": "done as written", "not-done": "not done" };

  function state(words) { place.querySelector("[data-state]").textContent = words; }
  function none() {
    if (parcel) { return; }
    state("");
    place.querySelector("[data-none]").hidden = false;
  }
  function says(one) {  // in the words of this page, whatever the other one calls it
    var words = [], fields = one.fields || {}, task = titles.tasks[one.task] || (one.task ? "Task " + one.task : "");
    if (one.form === "done") { return task + ": " + (HOWS[String(fields.how)] || String(fields.how)); }
    Object.keys(fields).filter(function (name) { return name !== "how"; }).forEach(function (name) { words = words.concat(fields[name]); });
    return (titles.forms[one.form] || one.form) + ": " + words.join(", ").replaceAll("_", " ") +
      (one.photo ? ", with a photo" : "") + (task ? (String(fields.how) === "otherwise" ? ". Instead of: " : ". For: ") + task : "");
  }
  function show() {
    var list = place.querySelector("[data-brought]");
    place.querySelector("[data-none]").hidden = true;
    list.textContent = "";
    parcel.entries.forEach(function (one) {
      var item = document.createElement("li"), time = document.createElement("time"), words = document.createElement("div");
      time.textContent = String(one.at).slice(11);
      words.textContent = says(one);
      item.append(time, words);
      list.appendChild(item);
    });
    var many = parcel.entries.length;
    state(many === 1 ? "1 entry was handed over by a page on this phone."
      : many + " entries were handed over by a page on this phone.");
    press.hidden = false;
    setTimeout(function () { press.disabled = false; }, PAUSE);
  }
  window.addEventListener("message", function (event) {
    if (!other || event.source !== other || parcel || !event.data || typeof event.data.lattermathParcel !== "string") { return; }
    var told;
    try { told = JSON.parse(event.data.lattermathParcel); } catch { return; }
    if (!told || told.format !== 1 || !Array.isArray(told.entries)) { return; }
    if (told.journal !== document.body.dataset.journal) {
      state("These entries are of another plot. Hand them over where that plot is served.");
      return;
    }
    parcel = told;
    show();
  });
  function take(left, told) {  // the hour is told anew: the press may have come late
    var these = kept.someOf(left);
    if (!these.length) { return Promise.resolve(told); }
    var text = JSON.stringify(Object.assign({}, parcel, { clock: new Date().toISOString(), entries: these }));
    return kept.bring(these, text).then(function (answer) {
      other.postMessage({ lattermathTaken: answer }, "*");  // ids, and what was refused
      return take(left.slice(these.length), kept.together(told, answer));
    });
  }
  press.addEventListener("click", function () {
    press.disabled = true;
    state("Taking them in.");
    take(parcel.entries, { taken: [], known: [], refused: [], says: [] }).then(function (told) {
      press.hidden = true;
      state(told.says.join(" "));
      place.querySelector("[data-onward]").hidden = false;
    }, function (fault) {
      press.disabled = false;
      state(fault && fault.status === 401 ? "This phone is not paired any more. The entries stay on the other page: pair it again, and send them from there."
        : "Home does not answer. The entries stay on the other page; press again, or send them later.");
    });
  });
  if (other) { other.postMessage("lattermath ready", "*"); setTimeout(none, 5000); } else { none(); }
})(lattermathEntries);
