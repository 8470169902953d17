// @ts-check
// Beside the pen: through lines as the drawing changes, and whether the board holds once that is reckoned.
import { ask, by, complain } from "./asking.js";

/** @typedef {import("./board.js").Board} Board */

const MOST = 3;
const PAUSE = 900;
/** Edits that follow each other at once are read together, so that reading never holds up the next one. */
const REST = 250;

/**
 * Follow whether a board holds.
 * @param {string} job
 * @param {Board} board
 * @param {() => void} redraw
 * @returns {() => void} look afresh, after an edit
 */
export function hold(job, board, redraw) {
  let turn = 0;
  let timer = 0;
  /** @type {any[]} */
  let lines = [];
  const wanted = /** @type {HTMLInputElement} */ (by("throughshown"));

  /** @param {string} how what to ask for: the first answer is the grain's, "go" starts the elements */
  async function look(how) {
    clearTimeout(timer);
    const mine = ++turn;
    const answer = await ask(`/jobs/${job}/sound/state?brief=1${how}`);
    if (mine !== turn) return;
    const state = answer.ok ? answer.said : { stage: "refused", faults: answer.faults };
    show(state);
    if (state.stage === "none") timer = window.setTimeout(() => look("&first=1&go=1"), PAUSE);
    else if (state.stage === "running") timer = window.setTimeout(() => look(""), 500);
  }

  /** @param {any} state */
  function show(state) {
    const running = state.stage === "running";
    by("holding").textContent = {
      running: `Reckoning: ${state.doing}`, done: "Reckoned, worst first", refused: "Not reckoned", none: "The grain is read",
    }[/** @type {"running"} */ (state.stage)] ?? "";
    const share = /** @type {HTMLProgressElement} */ (by("holdshare"));
    share.hidden = !running;
    share.value = state.share ?? 0;
    if (!state.through) return;
    complain(by("holdfaults"), state.faults);
    by("verdicts").replaceChildren(...state.top.map((/** @type {string} */ told) => Object.assign(document.createElement("li"), { textContent: told })));
    lines = state.through;
    by("throughs").textContent = lines.length
      ? `${lines.length} through ${lines.length === 1 ? "line" : "lines"}; at the barest, ${lines[0].words}` : "No through lines";
    by("throughchoice").hidden = !lines.length;
    draw();
  }

  function draw() {
    board.through = wanted.checked ? lines.slice(0, MOST) : [];
    redraw();
  }

  wanted.addEventListener("change", draw);
  look("&first=1");
  return () => {
    clearTimeout(timer);
    turn += 1;
    timer = window.setTimeout(() => look("&first=1"), REST);
  };
}
