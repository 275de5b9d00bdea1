/* While a plan is being worked out, ask now and then whether it is there, and then say so.
   Nothing on the page moves by itself: the reader opens the new plan when ready. */
(function (strip) {
  "use strict";
  if (!strip) { return; }
  var shown = strip.dataset.stamp;
  var left = 120;
  function ask() {
    left -= 1;
    fetch("/state", { headers: { accept: "application/json" } })
      .then(function (answer) { return answer.json(); })
      .then(function (state) {
        if (state.stamp && state.stamp !== shown) {
          if (!shown) { location.reload(); return; }
          strip.hidden = false;
          strip.querySelector("[data-done]").hidden = false;
          strip.querySelector("[data-making]").hidden = true;
        } else if (state.being_made && left > 0) { setTimeout(ask, 1000); }
        else if (state.refused) { location.reload(); }
        else { strip.hidden = true; }
      })
      .catch(function () { if (left > 0) { setTimeout(ask, 4000); } });
  }
  setTimeout(ask, 700);
})(document.getElementById("fresh"));
