/* Day or dusk: the reader's own setting, or the switch, which is remembered. */
(function (root, button) {
  "use strict";
  function remembered() { try { return localStorage.getItem("light"); } catch { return null; } }
  function remember(word) { try { localStorage.setItem("light", word); } catch { /* private reading */ } }
  var dusk = remembered() ? remembered() === "dusk" : matchMedia("(prefers-color-scheme: dark)").matches;
  function show() {
    root.dataset.light = dusk ? "dusk" : "day";
    if (!button) { return; }
    button.textContent = dusk ? "Day" : "Dusk";
    button.setAttribute("aria-label", dusk ? "Show in day light" : "Show for dusk");
  }
  if (button) {
    button.addEventListener("click", function () { dusk = !dusk; remember(dusk ? "dusk" : "day"); show(); });
    button.hidden = false;
  }
  show();
})(document.documentElement, document.getElementById("light"));
