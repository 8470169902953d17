// @ts-check
import { ask, by } from "./asking.js";

const waiting = document.getElementById("waiting");
async function look() {
  const answer = await ask(waiting?.dataset.state ?? "");
  if (!answer.ok || answer.said.stage !== "running") {
    location.reload();
    return;
  }
  by("doing").textContent = answer.said.doing;
  /** @type {HTMLProgressElement} */ (by("share")).value = answer.said.share;
  setTimeout(look, 400);
}
if (waiting) look();

document.addEventListener("keydown", (event) => {
  if (event.target instanceof HTMLInputElement || event.target instanceof HTMLSelectElement) return;
  if (event.altKey || event.ctrlKey || event.metaKey) return;
  const way = { ArrowLeft: "prev", ArrowRight: "next" }[event.key];
  if (way) /** @type {HTMLElement | null} */ (document.querySelector(`a[rel=${way}]`))?.click();
});
