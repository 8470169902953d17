// @ts-check
import { ask, by, complain } from "./asking.js";
import { showBase } from "./base.js";
import { beside } from "./beside.js";
import { Board, hatch, shape } from "./board.js";
import { Chosen } from "./choosing.js";
import { hold } from "./holding.js";
import { showLocks } from "./locks.js";
import { Moving } from "./moving.js";
import { follow } from "./planning.js";
import { changed, folded, lines, table } from "./telling.js";

/** @typedef {import("./board.js").Point} Point */

const job = by("bench").dataset.job ?? "";
const svg = /** @type {SVGSVGElement} */ (/** @type {unknown} */ (by("board")));
const board = new Board(svg);
/** @type {any} */
let view = {};
/** @type {Point | null} */
let start = null;
/** @type {Point | null} */
let cross = null;
/** @type {Point | null} where the pointer is, while it is over the board */
let hover = null;
/** @type {import("./board.js").Seam | undefined} the seam the pen would take */
let meant;
/** @type {Point} */
let down = [0, 0];
let dragged = false;
let wood = "";
/** the form whose answer is awaited: its fields take over what the server made of them */
let submitted = "";

const SNAPS = {
  in: [["1/16 in", 1.5875], ["1/8 in", 3.175], ["1/4 in", 6.35], ["1/2 in", 12.7], ["1 in", 25.4]],
  mm: [["1 mm", 1], ["2 mm", 2], ["5 mm", 5], ["10 mm", 10], ["25 mm", 25]],
};

const pen = () => /** @type {HTMLInputElement} */ (document.querySelector("input[name=pen]:checked")).value;
const say = (/** @type {string} */ text) => { by("status").textContent = text; };

const moving = new Moving(board, edit, say);
const chosen = new Chosen(board, job, edit, say, () => mark());

// ---- edits: one after another, each on the state before it; the pen goes on meanwhile ----
/** @type {Promise<void>} */
let queue = Promise.resolve();
/** edits whose answers are still to come: the board runs ahead of answers until the last */
let awaited = 0;
/** @param {any} change @param {string} [done] */
function edit(change, done) {
  awaited += 1;
  queue = queue.then(async () => {
    const answer = await ask(`/jobs/${job}/change`, { ...change, after: view.at_edit, held: view.shapes_key });
    complain(by("wrong"), beside(answer.ok ? [] : answer.told));
    awaited -= 1;
    if (answer.ok) {
      take(answer.said);
      if (!awaited) show();
      if (done) say(done);
      showFile();
      again();
      held();
    } else {
      say("Nothing was changed.");
      take(last);
      show({ refused: true });
    }
  });
  return queue;
}

/** @type {any} the server's last word; the board goes back to it where an edit is refused */
let last;
/** An answer leaves out the shapes if this page holds them already. @param {any} said */
function take(said) {
  last = said;
  const patches = told(said.shapes?.patches ?? view.patches, said.fills, ["wood", "grain_deg", "grain"]);
  const seams = told(said.shapes?.seams ?? view.seams, said.grades, ["kind", "words"]);
  view = { ...said, patches, seams };
}

/** @param {any[]} all @param {{kinds: any[][], each: number[]}} of what is told of each @param {string[]} names */
function told(all, of, names) {
  const kinds = of.kinds.map((kind) => Object.fromEntries(names.map((name, place) => [name, kind[place]])));
  return all.map((each, place) => ({ ...each, ...kinds[of.each[place]] }));
}

// ---- everything that is shown of a drawing ----
/** @param {{refused?: boolean}} [how] what was refused stays as typed */
function show({ refused = false } = {}) {
  board.show(view);
  chosen.show();
  by("title").textContent = view.title;
  by("words").textContent = view.words;
  by("count").textContent = `${view.seams.length} ${view.seams.length === 1 ? "seam" : "seams"}`;
  by("edit").textContent = `state ${view.at_edit}, kept`;
  lines("split", view.split_words);
  showLocks(view, edit);
  showBase(view);
  by("split").classList.toggle("locks", !view.splits);
  if (changed("shares", view.shares)) by("shares").replaceChildren(...view.shares.map((/** @type {[string, string]} */ [kind, text]) => {
    const made = document.createElement("li");
    made.append(shape("svg", { viewBox: "0 0 40 10", class: "stroke", "aria-hidden": "true" }, ["halo ", ""].map((under) =>
      shape("line", { x1: 1, y1: 5, x2: 39, y2: 5, class: `seam ${under}${kind}` }))), text);
    return made;
  }));
  lines("remarks", view.remarks);
  for (const [id, can, what] of [["undo", view.can_undo, view.undoes], ["redo", view.can_redo, view.redoes]]) {
    const button = /** @type {HTMLButtonElement} */ (by(id));
    button.disabled = !can;
    button.title = can ? what : "";
  }
  if (!refused) {
    fill("size", view.sizes);
    fill("rename", { title: view.title });
  }
  showWoods();
  showTable();
  mark();
}

/** @param {string[]} names */
const called = (names) => `${names.length === 1 ? "Patch" : "Patches"} ${names.join(", ")}`;

/** @param {string} letter */
const woodName = (letter) => view.woods.find((/** @type {any} */ each) => each.letter === letter)?.name ?? "";

const listed = folded("patches", showTable);
/** The table of patches, while it is looked at. */
function showTable() {
  if (listed.open) table("patches", view.patches.map((/** @type {any} */ patch) =>
    [patch.name, `${patch.wood} ${woodName(patch.wood)}`, patch.grain, patch.words]));
}


/** @param {string} id @param {Record<string, any>} values */
function fill(id, values) {
  const form = /** @type {HTMLFormElement} */ (by(id));
  for (const [name, value] of Object.entries(values)) {
    const field = /** @type {HTMLInputElement} */ (form.elements.namedItem(name));
    if (document.activeElement !== field || submitted === id) field.value = String(value);
  }
}

const sheet = folded("file", showFile);
/** The design as a file: long, so it is fetched only while it is looked at. */
async function showFile() {
  if (!sheet.open) return;
  const answer = await fetch(`/jobs/${job}/board.toml`);
  if (answer.ok) fill("file", { text: await answer.text() });
}

function showWoods() {
  if (!changed("woods", view.woods)) return;
  if (!view.woods.some((/** @type {any} */ each) => each.letter === wood)) wood = view.woods[0].letter;
  by("woods").replaceChildren(...view.woods.map((/** @type {any} */ each, /** @type {number} */ place) => {
    const label = document.createElement("label");
    const radio = Object.assign(document.createElement("input"), { type: "radio", name: "wood", value: each.letter, checked: each.letter === wood });
    radio.addEventListener("change", () => { wood = each.letter; choose("fill"); });
    const text = document.createElement("span");
    const swatch = shape("svg", { viewBox: "0 0 16 16", "aria-hidden": "true" }, [
      shape("defs", {}, [hatch(`swatch-${place}`, each, 90, 2)]), shape("rect", { width: 16, height: 16, fill: `url(#swatch-${place})` }),
    ]);
    text.append(swatch, `${each.letter} ${each.name}`);
    label.append(radio, text);
    return label;
  }));
  by("named").replaceChildren(...view.woods.map((/** @type {any} */ each) => {
    const form = Object.assign(document.createElement("form"), { className: "small" });
    const label = Object.assign(document.createElement("label"), { className: "field" });
    const input = Object.assign(document.createElement("input"), { name: "name", value: each.name, autocomplete: "off" });
    input.setAttribute("list", "known");
    label.append(Object.assign(document.createElement("span"), { textContent: `${each.letter}, ${each.said}` }), input);
    form.append(label, Object.assign(document.createElement("button"), { textContent: `Change ${each.letter}` }));
    form.addEventListener("submit", (event) => { event.preventDefault(); edit({ what: "wood", letter: each.letter, name: input.value }, `Wood ${each.letter} is ${input.value}.`); });
    return form;
  }));
}

function showSnaps() {
  const select = /** @type {HTMLSelectElement} */ (by("snap"));
  const steps = SNAPS[/** @type {"in"} */ (view.unit)] ?? SNAPS.in;
  const small = Math.min(view.box[2] - view.box[0], view.box[3] - view.box[1]) < 120;
  steps.forEach(([text, step], place) => {
    select.append(new Option(String(text), String(step), place === (small ? 1 : 2), place === (small ? 1 : 2)));
  });
  const take = () => { board.step = Number(select.value); board.show(view); mark(); };
  select.addEventListener("change", take);
  board.step = Number(select.value);
}

// ---- the pen ----
/** @param {Point} [raw] */
function mark(raw) {
  hover = raw ?? hover;
  const at = raw ?? cross ?? hover ?? undefined;
  const here = at && board.snapped(at);
  const tool = pen();
  const seam = at && (tool === "join" || (tool === "move" && !moving.seam)) ? board.seamAt(at) : undefined;
  if (seam && seam !== meant) say(`Between ${seam.sides.join(" and ")}: ${seam.words}.`);
  meant = seam;
  board.mark({
    patch: at && (tool === "fill" || tool === "grain") ? board.patchAt(at) : undefined,
    seam,
    band: tool === "move" ? at && moving.band(at) : start && here ? [start, here] : undefined,
    box: tool === "choose" && start && at ? [start, at] : undefined,
    chosen: chosen.names,
    cross: cross && document.activeElement === svg ? cross : undefined,
  });
}

/** @param {Point} at where the pen touches, not snapped */
function touch(at) {
  const tool = pen();
  if (tool === "seam") {
    const here = board.snapped(at);
    if (!start) {
      start = here;
      say("The seam begins here; choose where it goes to.");
    } else if (start[0] !== here[0] || start[1] !== here[1]) {
      edit({ what: "seam", start, end: here }, "Seam laid.");
      start = null;
    }
    return;
  }
  if (tool === "move") {
    moving.touch(at);
    return;
  }
  if (tool === "choose") {
    chosen.toggle(at);
    return;
  }
  if (tool === "join") {
    const seam = board.seamAt(at);
    if (seam) edit({ what: "join", patches: seam.sides }, `No seam between ${seam.sides.join(" and ")} any more.`);
    else say("There is no seam here.");
    return;
  }
  const patch = board.patchAt(at);
  if (!patch) return;
  if (tool === "fill") {
    const names = chosen.with(patch.name);
    board.ahead(names, (each) => { each.wood = wood; });
    edit({ what: "fill", patches: names, wood }, `${called(names)}: ${woodName(wood)}.`);
  } else {
    const names = chosen.with(patch.name);
    board.ahead(names, (each) => { each.grain_deg = (each.grain_deg + 90) % 180; });
    edit({ what: "grain", patches: names, grain_deg: null }, `${called(names)}: grain turned a quarter.`);
  }
}

svg.addEventListener("pointerdown", (event) => {
  if (event.button) return;
  cross = null;
  const at = board.place(event);
  if (pen() === "choose") {
    start = at;
    return;
  }
  const begun = start !== null || moving.seam !== null;
  touch(at);
  dragged = !begun && (pen() === "seam" || moving.seam !== null);
  down = at;
  mark(at);
});
svg.addEventListener("pointermove", (event) => { if (!cross || event.buttons) { cross = null; mark(board.place(event)); } });
svg.addEventListener("pointerup", (event) => {
  // let go elsewhere than it began: a drag, which ends here
  const at = board.place(event);
  const far = (/** @type {Point} */ from) => Math.hypot(at[0] - from[0], at[1] - from[1]) > 12 * board.fine;
  if (pen() === "choose" && start) {
    if (far(start)) chosen.within(start, at);
    else touch(at);
    start = null;
  } else if (dragged && far(start ?? down)) {
    touch(at);
  }
  dragged = false;
  mark(at);
});
svg.addEventListener("pointerleave", () => { hover = null; mark(); });

// ---- the keyboard ----
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
svg.addEventListener("focus", () => mark());
svg.addEventListener("blur", () => { cross = null; mark(); });
svg.addEventListener("keydown", (event) => {
  const arrow = ARROWS[/** @type {"ArrowLeft"} */ (event.key)];
  const [x0, y0, x1, y1] = view.box;
  if (arrow) {
    const by_mm = board.step * (event.shiftKey ? 4 : 1);
    const from = cross ?? [x0, y0];
    cross = [Math.min(Math.max(from[0] + arrow[0] * by_mm, x0), x1), Math.min(Math.max(from[1] + arrow[1] * by_mm, y0), y1)];
    const patch = board.patchAt(cross);
    say(`${length(cross[0] - x0)} from the left, ${length(cross[1] - y0)} from below${patch ? `: patch ${patch.name}, ${woodName(patch.wood)}, grain ${patch.grain}` : ""}`);
  } else if (event.key === "Enter" || event.key === " ") {
    cross = cross ?? [x0, y0];
    touch(cross);
  } else if (event.key === "Escape") {
    start = null;
    moving.take(null);
    chosen.set([]);
    say("Let go.");
  } else {
    return;
  }
  event.preventDefault();
  mark();
});

/** @param {number} mm */
const length = (mm) => (view.unit === "in" ? `${Number((mm / 25.4).toFixed(4))} in` : `${Number(mm.toFixed(2))} mm`);

/** @param {string} tool */
function choose(tool) {
  const radio = /** @type {HTMLInputElement} */ (document.querySelector(`input[name=pen][value=${tool}]`));
  radio.checked = true;
  complain(by("wrong"), []);
  start = null;
  moving.take(null);
  mark();
  say({
    seam: "Two clicks, or a drag, lay a seam.", move: "Click on a seam and where it goes to, or drag it.",
    choose: "Click on patches to choose them, or drag around them.", join: "Click on a seam to take it away.",
    fill: `Click on patches to make them ${woodName(wood)}.`, grain: "Click on a patch to turn its grain a quarter.",
  }[/** @type {"seam"} */ (tool)] ?? "");
}
for (const radio of document.querySelectorAll("input[name=pen]")) radio.addEventListener("change", () => choose(pen()));

document.addEventListener("keydown", (event) => {
  const typing = event.target instanceof HTMLElement && event.target.matches("input:not([type=radio]), textarea, select");
  if (typing || event.altKey) return;
  const key = event.key.toLowerCase();
  if ((event.ctrlKey || event.metaKey) && key !== "z" && key !== "y") return;
  const tool = { s: "seam", m: "move", r: "join", w: "fill", g: "grain", c: "choose" }[key];
  if (tool) choose(tool);
  else if (key === "z") edit({ what: event.shiftKey ? "redo" : "undo" });
  else if (key === "y") edit({ what: "redo" });
  else return;
  event.preventDefault();
});

// ---- buttons and forms ----
by("undo").addEventListener("click", () => edit({ what: "undo" }, "Undone."));
by("redo").addEventListener("click", () => edit({ what: "redo" }, "Done again."));
by("turn").addEventListener("click", () => edit({ what: "turn" }, "Turned."));
by("mirror").addEventListener("click", () => edit({ what: "mirror" }, "Mirrored."));
/** @type {[string, string, string][]} */
const FORMS = [["size", "size", "Size set."], ["rename", "title", "Renamed."], ["base", "base", "Backing set."], ["another", "wood", "Wood added."], ["file", "file", "Taken over."]];
for (const [id, what, done] of FORMS) {
  by(id).addEventListener("submit", (event) => {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.target);
    const typed = Object.fromEntries(new FormData(form));
    submitted = id;
    edit({ what, letter: "", ...typed }, done).then(() => { submitted = ""; });
    if (id === "another") form.reset();
  });
  // until somebody listens the browser would send the form itself, and what was typed would be lost
  for (const button of by(id).querySelectorAll("button:disabled")) /** @type {HTMLButtonElement} */ (button).disabled = false;
}

// ---- the plan beside it ----
const again = follow(job, (state) => {
  const sums = by("sums");
  const done = state.stage === "done";
  const told = Boolean(state.sums);
  sums.classList.toggle("stale", !told);
  by("onward").hidden = !done;
  by("first").hidden = !(done && state.look_first.length);
  by("best").textContent = told ? state.best : "";
  if (state.stage === "refused") sums.replaceChildren();
  if (!told) return;
  lines("looks", state.look_first);
  sums.replaceChildren(...state.sums.map((/** @type {[string, string]} */ [name, value]) => {
    const pair = document.createElement("div");
    pair.append(Object.assign(document.createElement("dt"), { textContent: name }), Object.assign(document.createElement("dd"), { textContent: value }));
    return pair;
  }));
});

const classes = /** @type {HTMLInputElement} */ (by("classes"));
classes.addEventListener("change", () => { board.classes = classes.checked; board.show(view); });

take(JSON.parse(by("view").textContent ?? "{}"));
showSnaps();
show();
const held = hold(job, board, () => { board.show(view); mark(); });
new ResizeObserver(() => { board.measure(); board.show(view); mark(); }).observe(svg);
