// @ts-check
import { by } from "./asking.js";

/**
 * The ways to plan a drawing that locks; choosing one plans it anew.
 * @param {any} view @param {(change: any, done?: string) => void} edit
 */
export function showLocks(view, edit) {
  const held = by("locks");
  held.hidden = view.ways_apart.length < 2;
  const now = document.activeElement instanceof HTMLInputElement && held.contains(document.activeElement) ? document.activeElement.value : null;
  held.lastElementChild?.replaceChildren(...view.ways_apart.map((/** @type {[string, string, boolean]} */ [prefer, text, checked]) => {
    const label = Object.assign(document.createElement("label"), { className: "tick" });
    const radio = Object.assign(document.createElement("input"), { type: "radio", name: "apart", value: prefer, checked });
    radio.addEventListener("change", () => edit({ what: "apart", prefer }, `${text}.`));
    label.append(radio, Object.assign(document.createElement("span"), { textContent: text }));
    return label;
  }));
  if (now) /** @type {HTMLInputElement | null} */ (held.querySelector(`input[value="${now}"]`))?.focus();
}
