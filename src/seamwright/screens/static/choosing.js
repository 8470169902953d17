// @ts-check
import { ask, by, complain } from "./asking.js";

/** @typedef {import("./board.js").Board} Board */
/** @typedef {import("./board.js").Point} Point */

// Patches chosen together: one deed for all of them, or a block made of them.
export class Chosen {
  /**
   * @param {Board} board
   * @param {string} job
   * @param {(change: any, done: string) => void} edit
   * @param {(text: string) => void} say
   * @param {() => void} marked
   */
  constructor(board, job, edit, say, marked) {
    this.board = board;
    this.say = say;
    this.marked = marked;
    /** @type {Set<string>} */
    this.names = new Set();
    by("choose-all").addEventListener("click", () => this.set(this.board.view.patches.map((patch) => patch.name)));
    by("choose-none").addEventListener("click", () => this.set([]));
    by("grains").addEventListener("submit", (event) => {
      event.preventDefault();
      const typed = /** @type {HTMLInputElement} */ (by("grain-of")).value.trim().toLowerCase();
      const said = /** @type {Record<string, number>} */ ({ up: 90, across: 0 })[typed] ?? (typed ? Number(typed.replace("°", "")) : NaN);
      if (!Number.isFinite(said)) {
        complain(by("wrong"), [`The grain “${typed}” is no direction: write up, across, or degrees such as 45`]);
        return;
      }
      edit({ what: "grain", patches: [...this.names], grain_deg: said }, "Grain set.");
    });
    by("cut-out").addEventListener("submit", async (event) => {
      event.preventDefault();
      const name = /** @type {HTMLInputElement} */ (by("block-name")).value;
      const answer = await ask(`/jobs/${job}/block`, { name, patches: [...this.names] });
      complain(by("wrong"), answer.ok ? [] : answer.faults);
      say(answer.ok ? `Kept as block ${answer.said.name}: set it under Blocks in rows, in any board.` : "Nothing was kept.");
    });
  }

  /** @param {Point} at */
  toggle(at) {
    const patch = this.board.patchAt(at);
    if (!patch) return;
    const names = new Set(this.names);
    if (!names.delete(patch.name)) names.add(patch.name);
    this.set(names);
  }

  /** @param {Point} from @param {Point} to what has its middle in a rectangle is chosen */
  within(from, to) {
    const [x0, x1] = [Math.min(from[0], to[0]), Math.max(from[0], to[0])];
    const [y0, y1] = [Math.min(from[1], to[1]), Math.max(from[1], to[1])];
    const inside = (/** @type {Point[]} */ points) => {
      const x = points.reduce((sum, point) => sum + point[0], 0) / points.length;
      const y = points.reduce((sum, point) => sum + point[1], 0) / points.length;
      return x > x0 && x < x1 && y > y0 && y < y1;
    };
    this.set(this.board.view.patches.filter((patch) => inside(patch.points)).map((patch) => patch.name));
  }

  /** @param {Iterable<string>} names */
  set(names) {
    this.names = new Set(names);
    this.show();
    this.say(this.names.size ? `${this.names.size} ${this.names.size === 1 ? "patch" : "patches"} chosen.` : "Nothing is chosen.");
    this.marked();
  }

  /** After an edit: patches that are gone are chosen no more. */
  show() {
    const there = new Set(this.board.view.patches.map((patch) => patch.name));
    this.names = new Set([...this.names].filter((name) => there.has(name)));
    by("chosen").hidden = !this.names.size;
    by("chosen-count").textContent = `${this.names.size} of ${there.size} patches`;
  }

  /** @param {string} name @returns {string[]} that patch, or all that are chosen with it */
  with(name) {
    return this.names.has(name) ? [...this.names] : [name];
  }
}
