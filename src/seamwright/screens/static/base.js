// @ts-check
import { by } from "./asking.js";

let shown = "";

/**
 * What carries the pattern. A form half filled in is left alone until something of it changes.
 * @param {any} view
 */
export function showBase(view) {
  by("base-words").textContent = view.base_words;
  const now = JSON.stringify([view.base, view.woods]);
  if (now === shown) return;
  shown = now;
  const form = /** @type {HTMLFormElement} */ (by("base"));
  const woods = /** @type {HTMLSelectElement} */ (form.elements.namedItem("wood"));
  const veneer = /** @type {HTMLSelectElement} */ (form.elements.namedItem("veneer"));
  const options = () => view.woods.map((/** @type {any} */ each) => new Option(`${each.letter} ${each.name}`, each.letter));
  woods.replaceChildren(...options());
  veneer.replaceChildren(new Option("of the wood most used", ""), ...options(), new Option("bought as a sheet", "bought"));
  for (const [name, value] of Object.entries(view.base)) {
    const field = /** @type {HTMLInputElement | RadioNodeList} */ (form.elements.namedItem(name));
    field.value = String(value);
  }
}
