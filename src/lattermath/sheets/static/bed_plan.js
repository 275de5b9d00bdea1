/* Beds that can be moved on their plan, by pointer or by keys. The numbers of the form are what
   counts: a move writes them, and writing them moves the bed. Without this the numbers work alone. */
const plan = document.getElementById("beds-plan");
const STEP = 0.1, LEAP = 1; // metres
const unit = Number(plan.dataset.unit);
const said = document.querySelector("[data-said]");

function blank(bed, name) {
  const at = `bed.${bed.dataset.row}.${name}`;
  return document.getElementById(`${at}_m`) || document.getElementById(`${at}_ft`);
}
function inMetres(field) { return field.id.endsWith("_ft") ? 0.3048 : 1; }
function number(field) {
  const value = Number(field.value.replace(",", "."));
  return field.value.trim() && Number.isFinite(value) ? value * inMetres(field) : null;
}
function draw(bed) {
  const x = Number(bed.dataset.x), y = Number(bed.dataset.y), wide = Number(bed.dataset.width);
  bed.setAttribute("transform", `translate(${x} ${-y - wide})`);
}
function put(bed, x, y) {
  bed.dataset.x = Math.round(x / STEP) * STEP;
  bed.dataset.y = Math.round(y / STEP) * STEP;
  for (const name of ["x", "y"]) {
    const field = blank(bed, name);
    if (field) { field.value = String(Math.round(Number(bed.dataset[name]) / inMetres(field) * 100) / 100); }
  }
  draw(bed);
  said.textContent = `${bed.textContent.trim()}: ${blank(bed, "x").value}, ${blank(bed, "y").value}`;
}
function metres(event) {
  const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(plan.getScreenCTM().inverse());
  return { x: point.x, y: -point.y };
}

for (const bed of plan.querySelectorAll(".bed")) {
  bed.setAttribute("tabindex", "0");
  bed.setAttribute("role", "button");
  bed.setAttribute("aria-label", bed.textContent.trim());
  let grip = null;
  bed.addEventListener("pointerdown", (event) => {
    const at = metres(event);
    grip = { x: at.x - Number(bed.dataset.x), y: at.y - Number(bed.dataset.y) };
    bed.setPointerCapture(event.pointerId);
    event.preventDefault();
    bed.focus();
  });
  bed.addEventListener("pointermove", (event) => {
    if (!grip) { return; }
    const at = metres(event);
    put(bed, at.x - grip.x, at.y - grip.y);
  });
  for (const over of ["pointerup", "pointercancel"]) { bed.addEventListener(over, () => { grip = null; }); }
  bed.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (!way) { return; }
    const far = event.shiftKey ? LEAP : STEP;
    put(bed, Number(bed.dataset.x) + way[0] * far, Number(bed.dataset.y) + way[1] * far);
    event.preventDefault();
  });
  for (const name of ["x", "y"]) {
    const field = blank(bed, name);
    if (field) { field.addEventListener("input", () => {
      const value = number(field);
      if (value !== null) { bed.dataset[name] = value; draw(bed); }
    }); }
  }
}
document.querySelector("[data-drag]").hidden = false;
document.querySelector("[data-numbers]").hidden = true;
