// @ts-check
import { ask, by, complain } from "./asking.js";

/** A first plan is often there within this; afterwards it is looked for less often. */
const FIRST_MS = 60;

/**
 * Follow a job's plan and show how far it is.
 * @param {string} job
 * @param {(state: any) => void} done called with every state that is shown
 * @returns {() => void} look afresh, after an edit
 */
export function follow(job, done) {
  let timer = 0;
  let turn = 0;
  let wait = FIRST_MS;
  function afresh() {
    clearTimeout(timer);
    turn += 1;
    wait = FIRST_MS;
    by("doing").textContent = "waiting";
    // what the edit did is shown first
    requestAnimationFrame(() => setTimeout(look));
  }
  async function look() {
    clearTimeout(timer);
    const mine = ++turn;
    const answer = await ask(`/jobs/${job}/plan`);
    if (mine !== turn) return;
    show(answer.ok ? answer.said : { stage: "refused", faults: answer.faults });
    if (answer.ok && answer.said.stage === "running") timer = window.setTimeout(look, wait);
    wait = Math.min(2 * wait, 350);
  }
  /** @param {any} state */
  function show(state) {
    const running = state.stage === "running";
    by("doing").textContent = {
      running: state.doing, done: "Planned and proven", refused: "No plan", stopped: "Stopped", none: "Not planned",
    }[/** @type {"running"} */ (state.stage)] ?? "";
    const share = /** @type {HTMLProgressElement} */ (by("share"));
    share.hidden = !running;
    share.value = state.share ?? 0;
    complain(by("faults"), state.faults ?? []);
    by("stop").hidden = !running;
    by("again").hidden = running || state.stage === "done" || state.stage === "refused";
    done(state);
  }
  by("stop").addEventListener("click", async () => { await ask(`/jobs/${job}/plan/stop`, {}); look(); });
  by("again").addEventListener("click", async () => { await ask(`/jobs/${job}/plan/start`, {}); look(); });
  look();
  return afresh;
}
