// @ts-check
import { ask, by } from "./asking.js";

const choose = /** @type {HTMLFormElement | null} */ (document.getElementById("choose"));
// the choice travels in the address, so that a set of papers has one name
choose?.addEventListener("submit", () => {
  const chosen = new URLSearchParams();
  for (const [name, value] of new FormData(choose)) chosen.append(name, String(value));
  choose.action = `${choose.action.split("?")[0]}?${chosen}`;
});

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
