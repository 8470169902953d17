// @ts-check
// The board as a picture under the pen: everything here is drawn in the browser and waits for nobody.

const SPACE = "http://www.w3.org/2000/svg";

/** @typedef {[number, number]} Point */
/** @typedef {{name: string, points: Point[], wood: string, grain_deg: number, words: string, grain: string}} Patch */
/** @typedef {{letter: string, name: string, fill: string, line: string, spacing_mm: number, width_mm: number, dash_mm: number[], said: string}} Wood */
/** @typedef {{start: Point, end: Point, sides: [string, string], kind: string, words: string}} Seam */
/** @typedef {{box: [number, number, number, number], shapes_key: string, patches: Patch[], woods: Wood[], seams: Seam[], locked: string[][], added: {start: Point, end: Point}[], unit: string}} View */

/**
 * @param {string} name
 * @param {Record<string, string | number>} [given]
 * @param {Element[]} [inside]
 */
export function shape(name, given = {}, inside = []) {
  const made = document.createElementNS(SPACE, name);
  for (const [key, value] of Object.entries(given)) made.setAttribute(key, String(value));
  made.append(...inside);
  return made;
}

/** What lies over what, from below. */
const LAYERS = /** @type {const} */ (["defs", "woods", "seams", "grid", "edge", "marks", "through", "over"]);

/** How far from the board's edge the sheet goes on, as a share of its longer side. */
const MARGIN = 0.04;

export class Board {
  /** @param {SVGSVGElement} svg */
  constructor(svg) {
    this.svg = svg;
    /** @type {View} */
    this.view = { box: [0, 0, 1, 1], shapes_key: "", patches: [], woods: [], seams: [], locked: [], added: [], unit: "in" };
    /** @type {Record<string, Element>} */
    this.layers = Object.fromEntries(LAYERS.map((name) => [name, shape(name === "defs" ? "defs" : "g")]));
    /** @type {Record<string, string>} what each layer shows, so that it is drawn afresh only when that changes */
    this.drawn = {};
    this.svg.replaceChildren(...Object.values(this.layers));
    this.step = 6.35;
    this.classes = true;
    /** @type {{start: Point, end: Point}[]} */
    this.through = [];
    this.room = { width: 1, height: 1 };
    this.measure();
  }

  /** How large the picture is on the screen [px]; asked only when that changes, for the browser lays the page out to answer. */
  measure() {
    const { width, height } = this.svg.getBoundingClientRect();
    this.room = { width: Math.max(width, 1), height: Math.max(height, 1) };
  }

  /** Millimetres in one pixel of the screen. */
  get fine() {
    const [x0, y0, x1, y1] = this.view.box;
    const edge = 1 + 2 * MARGIN;
    return Math.max(((x1 - x0) * edge) / this.room.width, ((y1 - y0) * edge) / this.room.height);
  }

  /** @param {Point} point @returns {Point} from the board's frame to the picture's, where y goes down */
  put([x, y]) {
    return [x, -y];
  }

  /** @param {MouseEvent} event @returns {Point} the place under the pointer, on the board [mm] */
  place(event) {
    const matrix = this.svg.getScreenCTM();
    if (!matrix) return [0, 0];
    const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
    return [at.x, -at.y];
  }

  /** @param {View} view */
  show(view) {
    this.view = view;
    const [x0, y0, x1, y1] = view.box;
    const edge = MARGIN * Math.max(x1 - x0, y1 - y0);
    const sheet = `${x0 - edge} ${-y1 - edge} ${x1 - x0 + 2 * edge} ${y1 - y0 + 2 * edge}`;
    if (this.svg.getAttribute("viewBox") !== sheet) this.svg.setAttribute("viewBox", sheet);
    const names = view.patches.map((patch) => this.hatchName(patch));
    this.layer("defs", [view.woods, this.fine], () => []);
    this.hatches(new Map(names.map((name, place) => [name, view.patches[place]])));
    this.layer("woods", view.shapes_key, () => view.patches.map((patch) =>
      shape("polygon", { points: this.corners(patch.points), class: "wood", "data-patch": patch.name })));
    this.each("woods", "fill", names.map((name) => `url(#${name})`));
    this.layer("seams", view.shapes_key, () => [...view.seams, ...view.seams].map((seam) => this.line(seam.start, seam.end, "")));
    const kinds = view.seams.map((seam) => (this.classes ? seam.kind : ""));
    this.each("seams", "class", ["halo ", ""].flatMap((under) => kinds.map((kind) => `seam ${under}${kind}`)));
    this.layer("grid", [this.step, this.fine, view.box], () => this.grid());
    this.layer("edge", view.box, () => [shape("rect", { x: x0, y: -y1, width: x1 - x0, height: y1 - y0, class: "edge" })]);
    const locked = new Set(view.locked.flat());
    this.layer("marks", [view.added, view.patches.filter((patch) => locked.has(patch.name)).map((patch) => patch.points)], () => [
      ...view.patches.filter((patch) => locked.has(patch.name)).map((patch) => shape("polygon", { points: this.corners(patch.points), class: "locked" })),
      ...view.added.map((seam) => this.line(seam.start, seam.end, "added")),
    ]);
    this.layer("through", this.through, () =>
      ["through halo", "through"].flatMap((kind) => this.through.map((line) => this.line(line.start, line.end, kind))));
  }

  /**
   * Show what the pen does at once; what it means for seams and plan follows with the answer.
   * @param {string[]} names @param {(patch: Patch) => void} change
   */
  ahead(names, change) {
    for (const patch of this.view.patches) if (names.includes(patch.name)) change(patch);
    this.show(this.view);
  }

  /**
   * Draw a layer afresh, if what it shows has changed.
   * @param {string} name @param {unknown} shown @param {() => Element[]} draw
   */
  layer(name, shown, draw) {
    const key = JSON.stringify(shown);
    if (this.drawn[name] === key) return;
    this.drawn[name] = key;
    this.layers[name].replaceChildren(...draw());
  }

  /**
   * Tell the elements of a layer apart; most of them are what they were.
   * @param {string} name @param {string} attribute @param {string[]} values one for each element
   */
  each(name, attribute, values) {
    let element = this.layers[name].firstElementChild;
    for (const value of values) {
      if (element && element.getAttribute(attribute) !== value) element.setAttribute(attribute, value);
      element = element?.nextElementSibling ?? null;
    }
  }

  /** @param {Point[]} points */
  corners(points) {
    return points.map((point) => this.put(point).join(",")).join(" ");
  }

  /** @param {Point} start @param {Point} end @param {string} kind */
  line(start, end, kind) {
    const [[a, b], [c, d]] = [this.put(start), this.put(end)];
    return shape("line", { x1: a, y1: b, x2: c, y2: d, class: kind });
  }

  /** @param {{wood: string, grain_deg: number}} patch */
  hatchName(patch) {
    const wood = this.view.woods.findIndex((each) => each.letter === patch.wood);
    return `hatch-${wood}-${String(patch.grain_deg).replace(".", "_")}`;
  }

  /** Hatches that are not there yet; those no patch has any more stay. @param {Map<string, Patch>} named a patch of every wood and grain */
  hatches(named) {
    const there = new Set([...this.layers.defs.children].map((each) => each.id));
    for (const [name, patch] of named) {
      const wood = this.view.woods.find((each) => each.letter === patch.wood);
      if (wood && !there.has(name)) this.layers.defs.append(hatch(name, wood, patch.grain_deg, 3.4 * this.fine));
    }
  }

  grid() {
    const [x0, y0, x1, y1] = this.view.box;
    let step = this.step;
    while (step / this.fine < 16) step *= 2;
    const lines = [];
    for (let x = x0 + step; x < x1 - step / 9; x += step) lines.push(this.line([x, y0], [x, y1], "grid"));
    for (let y = y0 + step; y < y1 - step / 9; y += step) lines.push(this.line([x0, y], [x1, y], "grid"));
    return lines;
  }

  /**
   * The place the pen takes: a corner near it, else the nearest place of the grid, within the board.
   * @param {Point} at
   * @returns {Point}
   */
  snapped(at) {
    const reach = 9 * this.fine;
    /** @type {Point | null} */
    let best = null;
    let near = reach;
    for (const patch of this.view.patches) {
      for (const corner of patch.points) {
        const far = Math.hypot(corner[0] - at[0], corner[1] - at[1]);
        if (far < near) [best, near] = [corner, far];
      }
    }
    if (best) return best;
    const [x0, y0, x1, y1] = this.view.box;
    const to = (/** @type {number} */ value, /** @type {number} */ low, /** @type {number} */ high) =>
      Math.min(Math.max(low + Math.round((value - low) / this.step) * this.step, low), high);
    return [to(at[0], x0, x1), to(at[1], y0, y1)];
  }

  /** @param {Point} at @returns {Patch | undefined} */
  patchAt(at) {
    return this.view.patches.find((patch) => holds(patch.points, at));
  }

  /** @param {Point} at @returns {Seam | undefined} the seam nearest to a place, if it is near */
  seamAt(at) {
    let near = 14 * this.fine;
    /** @type {Seam | undefined} */
    let best;
    for (const seam of this.view.seams) {
      const far = beside(at, seam.start, seam.end);
      if (far < near) [best, near] = [seam, far];
    }
    return best;
  }

  /**
   * @param {Seam} seam
   * @returns {[Point, Point]} the whole straight line a seam is part of
   */
  run(seam) {
    const [[ax, ay], [bx, by]] = [seam.start, seam.end];
    const long = Math.hypot(bx - ax, by - ay);
    const [ux, uy] = [(bx - ax) / long, (by - ay) / long];
    const along = (/** @type {Point} */ [x, y]) => (x - ax) * ux + (y - ay) * uy;
    const off = (/** @type {Point} */ [x, y]) => Math.abs((x - ax) * uy - (y - ay) * ux);
    const parts = this.view.seams.filter((each) => off(each.start) < 0.01 && off(each.end) < 0.01)
      .map((each) => [along(each.start), along(each.end)].sort((a, b) => a - b)).sort((a, b) => a[0] - b[0]);
    let [low, high] = [0, long];
    for (const [from, to] of [...parts, ...parts.toReversed()]) {
      if (from < high + 0.01 && to > low - 0.01) [low, high] = [Math.min(low, from), Math.max(high, to)];
    }
    return [[ax + low * ux, ay + low * uy], [ax + high * ux, ay + high * uy]];
  }

  /**
   * What lies over the board: the patch or seam meant, the rubber band, the keyboard's cross.
   * @param {{patch?: Patch, seam?: Seam, band?: [Point, Point], box?: [Point, Point], cross?: Point, chosen?: Set<string>}} marks
   */
  mark({ patch, seam, band, box, cross, chosen }) {
    const shown = [];
    for (const each of chosen?.size ? this.view.patches : []) {
      if (chosen?.has(each.name)) shown.push(shape("polygon", { points: this.corners(each.points), class: "chosen" }));
    }
    if (box) {
      const [[ax, ay], [bx, by]] = box;
      shown.push(shape("polygon", { points: this.corners([[ax, ay], [bx, ay], [bx, by], [ax, by]]), class: "chosen" }));
    }
    if (patch) shown.push(shape("polygon", { points: this.corners(patch.points), class: "under" }));
    if (seam) shown.push(this.line(seam.start, seam.end, "band"));
    if (band) shown.push(this.line(...band, "band halo"), this.line(...band, "band"));
    if (cross) {
      const [x, y] = this.put(cross);
      const arm = 11 * this.fine;
      const path = `M${x - arm} ${y}H${x + arm}M${x} ${y - arm}V${y + arm}`;
      shown.push(shape("path", { d: path, class: "cross halo" }), shape("path", { d: path, class: "cross" }));
    }
    this.layers.over.replaceChildren(...shown);
  }
}

/**
 * @param {string} name @param {Wood} wood @param {number} grain_deg @param {number} page mm of board for a mm of page
 */
export function hatch(name, wood, grain_deg, page) {
  const across = Math.max(wood.spacing_mm, 1.1) * page;
  const length = (wood.dash_mm.reduce((sum, part) => sum + part, 0) || 4) * page;
  return shape("pattern", {
    id: name, width: length, height: across, patternUnits: "userSpaceOnUse", patternTransform: `rotate(${-grain_deg})`,
  }, [
    shape("rect", { width: length, height: across, fill: wood.fill }),
    shape("path", {
      d: `M0 ${across / 2}H${length}`, stroke: wood.line, "stroke-width": Math.max(wood.width_mm, 0.18) * page,
      ...(wood.dash_mm.length ? { "stroke-dasharray": wood.dash_mm.map((part) => part * page).join(" ") } : {}),
    }),
  ]);
}

/** @param {Point[]} ring @param {Point} at */
function holds(ring, [x, y]) {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [[ax, ay], [bx, by]] = [ring[i], ring[j]];
    if ((ay > y) !== (by > y) && x < ((bx - ax) * (y - ay)) / (by - ay) + ax) inside = !inside;
  }
  return inside;
}

/** @param {Point} p @param {Point} a @param {Point} b distance of p from the stretch a to b */
function beside(p, a, b) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const share = Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy)));
  return Math.hypot(p[0] - a[0] - share * dx, p[1] - a[1] - share * dy);
}
