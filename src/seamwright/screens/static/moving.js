// @ts-check
import { by } from "./asking.js";

/** @typedef {import("./board.js").Board} Board */
/** @typedef {import("./board.js").Point} Point */
/** @typedef {import("./board.js").Seam} Seam */

// A seam picked up by the pen: it follows the pointer, or goes as far as is typed.
export class Moving {
  /**
   * @param {Board} board
   * @param {(change: any, done: string) => void} edit
   * @param {(text: string) => void} say
   */
  constructor(board, edit, say) {
    this.board = board;
    this.edit = edit;
    this.say = say;
    /** @type {Seam | null} */
    this.seam = null;
    by("move").addEventListener("submit", (event) => {
      event.preventDefault();
      const typed = /** @type {HTMLInputElement} */ (by("by")).value;
      if (this.seam && typed.trim()) this.#send(typed);
    });
  }

  get reach() {
    return /** @type {HTMLInputElement} */ (by("stretch")).checked ? "stretch" : "whole";
  }

  /** @param {Point} at where the pen touches: picks a seam up, or sets it down there */
  touch(at) {
    if (this.seam) {
      const far = this.offset(this.board.snapped(at));
      if (Math.abs(far) > this.board.fine) this.#send(far);
      return;
    }
    this.take(this.board.seamAt(at) ?? null);
    this.say(this.seam ? "Picked up: choose where it goes, or type how far." : "There is no seam here.");
  }

  /** @param {Seam | null} seam */
  take(seam) {
    this.seam = seam;
    by("move").hidden = !seam;
  }

  /** @param {Point} to @returns {number} how far the seam goes to pass there: right or up is more */
  offset([x, y]) {
    if (!this.seam) return 0;
    const [[ax, ay], [nx, ny]] = [this.seam.start, normal(this.seam)];
    return (x - ax) * nx + (y - ay) * ny;
  }

  /** @param {Point} at @returns {[Point, Point] | undefined} where the seam would lie */
  band(at) {
    if (!this.seam) return undefined;
    const far = this.offset(this.board.snapped(at));
    const [nx, ny] = normal(this.seam);
    const [start, end] = this.reach === "whole" ? this.board.run(this.seam) : [this.seam.start, this.seam.end];
    return [[start[0] + far * nx, start[1] + far * ny], [end[0] + far * nx, end[1] + far * ny]];
  }

  /** @param {number | string} far */
  #send(far) {
    const seam = this.seam;
    if (!seam) return;
    this.edit({ what: "move", patches: seam.sides, by: far, reach: this.reach }, "Seam moved.");
    this.take(null);
  }
}

/** @param {Seam} seam @returns {Point} across it, to the right; upwards where it lies level */
function normal({ start, end }) {
  const [dx, dy] = [end[0] - start[0], end[1] - start[1]];
  const long = Math.hypot(dx, dy);
  const way = dy > 1e-6 || (Math.abs(dy) <= 1e-6 && dx < 0) ? 1 : -1;
  return [(way * dy) / long, (way * -dx) / long];
}
