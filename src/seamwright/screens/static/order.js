// @ts-check
import { ask } from "./asking.js";

const step = document.getElementById("step");
const sheet = document.getElementById("apart");
const round = /** @type {HTMLInputElement | null} */ (document.getElementById("round"));
const raised = /** @type {HTMLInputElement | null} */ (document.getElementById("raised"));
let asked = 0;
let busy = false;

async function turn() {
  if (!sheet || !round || !raised) return;
  asked += 1;
  if (busy) return;
  busy = true;
  for (let mine = -1; mine !== asked;) {
    mine = asked;
    const answer = await ask(`${step?.dataset.address}?round=${round.value}&raised=${raised.value}`);
    if (answer.ok) {
      const read = new DOMParser().parseFromString(answer.said.svg, "image/svg+xml");
      sheet.replaceChildren(document.importNode(read.documentElement, true));
    }
  }
  busy = false;
}
round?.addEventListener("input", turn);
raised?.addEventListener("input", turn);

// dragged across, the drawing turns; up and down it scrolls the page under a finger, and tilts under a mouse
/** @type {{x: number, y: number, round: number, raised: number} | null} where a drag began */
let from = null;
sheet?.addEventListener("pointerdown", (event) => {
  if (event.button || !round || !raised) return;
  from = { x: event.clientX, y: event.clientY, round: round.valueAsNumber, raised: raised.valueAsNumber };
  sheet.setPointerCapture(event.pointerId);
});
sheet?.addEventListener("pointermove", (event) => {
  if (!from || !round || !raised) return;
  const before = round.value + raised.value;
  round.valueAsNumber = from.round - (event.clientX - from.x) / 2;
  raised.valueAsNumber = from.raised + (event.clientY - from.y) / 3;
  if (round.value + raised.value !== before) turn();
});
for (const end of ["pointerup", "pointercancel"]) sheet?.addEventListener(end, () => { from = null; });

document.addEventListener("keydown", (event) => {
  if (event.target instanceof HTMLInputElement || event.target instanceof HTMLSelectElement) return;
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  const way = { ArrowLeft: "prev", ArrowRight: "next" }[event.key];
  if (way) /** @type {HTMLElement | null} */ (document.querySelector(`a[rel=${way}]`))?.click();
});
document.querySelector(".steps [aria-current]")?.scrollIntoView({ block: "nearest" });
