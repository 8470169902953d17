// @ts-check
// Drag over a spot of the board to mark a flaw. The server says what it comes to.
import { ask, by, complain } from "./asking.js";

const box = /** @type {HTMLElement | null} */ (document.querySelector(".face"));
const face = /** @type {SVGSVGElement | null} */ (/** @type {unknown} */ (document.getElementById("face")));
const kind = /** @type {HTMLSelectElement} */ (by("kind"));
const where = by("where");
const wrong = by("wrong");

/** @type {{x: number, y: number} | null} */
let start = null;
/** @type {SVGRectElement | null} */
let rubber = null;

/** @param {PointerEvent} event in the drawing's own units, y down from the upper edge */
function place(event) {
  const matrix = face?.getScreenCTM();
  return matrix ? new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse()) : new DOMPoint();
}

/** @param {PointerEvent} event */
function draw(event) {
  if (!start || !rubber) return;
  const at = place(event);
  rubber.setAttribute("x", String(Math.min(start.x, at.x)));
  rubber.setAttribute("y", String(Math.min(start.y, at.y)));
  rubber.setAttribute("width", String(Math.abs(at.x - start.x)));
  rubber.setAttribute("height", String(Math.abs(at.y - start.y)));
}

function drop() {
  rubber?.remove();
  rubber = null;
  start = null;
}

face?.addEventListener("pointerdown", (event) => {
  if (event.button) return;
  face.setPointerCapture(event.pointerId);
  start = place(event);
  rubber = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  rubber.setAttribute("class", "rubber");
  face.append(rubber);
  draw(event);
  event.preventDefault();
});
face?.addEventListener("pointermove", (event) => {
  const at = place(event);
  where.textContent = `${Math.round(at.x)} mm along, ${Math.round(face.viewBox.baseVal.height - at.y)} mm across`;
  draw(event);
});
face?.addEventListener("pointercancel", drop);
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape") drop();
});
face?.addEventListener("pointerup", async (event) => {
  if (!start) return;
  const [from, to, high] = [start, place(event), face.viewBox.baseVal.height];
  const answer = await ask("/board/flaw", {
    name: box?.dataset.name, kind: kind.value, x0: from.x, y0: high - from.y, x1: to.x, y1: high - to.y,
  });
  drop();
  if (answer.ok) location.reload();
  else complain(wrong, answer.faults);
});
