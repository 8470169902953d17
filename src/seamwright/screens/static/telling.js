// @ts-check
// Words and tables beside the board: only what changed is made anew.
import { by } from "./asking.js";

/** @type {Map<string, string>} what each part of the page tells */
const told = new Map();

/** @param {string} id a part of the page @param {unknown} what what it is to tell @returns {boolean} whether that is new there */
export function changed(id, what) {
  const key = JSON.stringify(what);
  if (told.get(id) === key) return false;
  told.set(id, key);
  return true;
}

/** @param {string} id @param {string[]} texts */
export function lines(id, texts) {
  if (!changed(id, texts)) return;
  by(id).replaceChildren(...texts.map((text) => Object.assign(document.createElement("li"), { textContent: text })));
}

/** @param {string} id of the body of a table @param {string[][]} rows */
export function table(id, rows) {
  const body = by(id);
  rows.forEach((cells, place) => {
    if (!changed(`${id} ${place}`, cells) && body.children[place]) return;
    const made = row(cells);
    if (body.children[place]) body.children[place].replaceWith(made);
    else body.append(made);
  });
  while (body.children.length > rows.length) body.lastElementChild?.remove();
}

/** @param {string[]} cells */
function row(cells) {
  const made = document.createElement("tr");
  cells.forEach((text, place) => {
    const cell = document.createElement(place ? "td" : "th");
    if (!place) cell.setAttribute("scope", "row");
    cell.textContent = text;
    made.append(cell);
  });
  return made;
}

/** @param {string} id of something in a part of the page that folds @param {() => void} open what to do when it is unfolded */
export function folded(id, open) {
  const part = /** @type {HTMLDetailsElement} */ (by(id).closest("details"));
  part.addEventListener("toggle", open);
  return part;
}
