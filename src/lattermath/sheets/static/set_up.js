/* The clocks of the reader's own machine, where the form does not know them yet. */
const zone = document.getElementById("place.time_zone");
if (zone && !zone.value) {
  zone.value = Intl.DateTimeFormat().resolvedOptions().timeZone || "";
}
