// @ts-check
// Whether the board holds: asks as the sliders move, shows what comes back, lights what a verdict is about.
import { ask, by, complain } from "./asking.js";
import { shape } from "./board.js";

const job = by("sounding").dataset.job ?? "";
const form = /** @type {HTMLFormElement} */ (by("ask"));
/** @typedef {{lines: number[][][], patches: number[][][], points: number[][]}} Light */
/** @type {any[]} */
let pictures = [];
let shown = "";
/** @type {Light | null} */
let light = null;
let turn = 0;
let timer = 0;
let last = "";
let shownBefore = "";
let chosen = false;

const query = () => new URLSearchParams([...new FormData(form)].map(([name, value]) => [name, String(value)])).toString();

/** @param {string} name */
const field = (name) => /** @type {HTMLInputElement} */ (form.elements.namedItem(name));
/** @type {[number, number] | null} where the load presses, if that was said on the picture [mm] */
let pressed = null;

// ---- asking ----
async function look(/** @type {boolean} */ first) {
  clearTimeout(timer);
  const mine = ++turn;
  const answer = await ask(`/jobs/${job}/sound/state?${query()}${first ? "&first=1&go=1" : ""}`);
  if (mine !== turn) return;
  show(answer.ok ? answer.said : { stage: "refused", faults: answer.faults });
  if (answer.ok && answer.said.stage === "running") timer = window.setTimeout(() => look(false), 400);
  else if (answer.ok && answer.said.planned === false) timer = window.setTimeout(() => look(false), 2000);
}

function soon() {
  clearTimeout(timer);
  turn += 1;
  timer = window.setTimeout(() => look(true), 350);
}

/** @param {any} state */
function show(state) {
  const running = state.stage === "running";
  // stopped before what was typed last was begun
  const stopped = state.stage === "stopped" || state.stage === "none";
  by("doing").textContent = {
    running: `The grain is read; now ${state.doing}`, done: "Reckoned", refused: "Not reckoned", stopped: "Stopped: only the grain is read",
  }[/** @type {"running"} */ (stopped ? "stopped" : state.stage)] ?? "";
  const share = /** @type {HTMLProgressElement} */ (by("share"));
  share.hidden = !running;
  share.value = state.share ?? 0;
  by("stop").hidden = !running;
  by("again").hidden = !stopped;
  if (state.verdicts || state.faults?.length) complain(by("faults"), state.faults ?? []);
  if (!state.verdicts) return;
  by("situation").textContent = state.situation;
  by("planned").hidden = state.planned;
  const told = JSON.stringify([state.verdicts, state.pictures.length]);
  if (told === shownBefore) return;
  shownBefore = told;
  pictures = state.pictures;
  light = null;
  showVerdicts(state.verdicts);
  showChoices();
  if (state.sums.length) keepTry(state.sums);
}

// ---- verdicts ----
/** The bad ones open; what is good to know and what holds folded away. @param {any[]} verdicts */
function showVerdicts(verdicts) {
  const open = verdicts.filter((each) => each.rank < 3 || each.code === "M3");
  const folded = ["Good to know", "Holds"].map((name) => [name, verdicts.filter((each) => each.verdict === name && !open.includes(each))]);
  by("verdicts").replaceChildren(...open.map(verdict), ...folded.filter(([, list]) => list.length).map(([name, list]) => {
    const item = document.createElement("li");
    const more = Object.assign(document.createElement("details"), { className: "more" });
    const inner = Object.assign(document.createElement("ul"), { className: "verdicts" });
    inner.append(.../** @type {any[]} */ (list).map(verdict));
    more.append(text("summary", `${name} (${list.length})`), inner);
    item.append(more);
    return item;
  }));
}

/** @param {any} each */
function verdict(each) {
  const item = document.createElement("li");
  item.className = each.rank < 2 ? "bad" : "";
  const lights = each.light.lines.length + each.light.patches.length + each.light.points.length > 0;
  const head = document.createElement(lights ? "button" : "div");
  head.append(text("span", each.verdict, "how"), text("span", each.subject, "what"));
  if (lights) {
    head.setAttribute("type", "button");
    head.setAttribute("aria-pressed", "false");
    head.addEventListener("click", () => {
      const on = head.getAttribute("aria-pressed") !== "true";
      for (const other of by("verdicts").querySelectorAll("[aria-pressed]")) other.setAttribute("aria-pressed", "false");
      head.setAttribute("aria-pressed", String(on));
      light = on ? each.light : null;
      showLight();
    });
  }
  item.append(head, text("p", each.why), ...(each.change ? [todo(each.change)] : []));
  if (each.sources) {
    const more = document.createElement("details");
    more.append(text("summary", "What it rests on"), text("p", `${each.sources} (code ${each.code})`));
    item.append(more);
  }
  return item;
}

/** @param {string} change */
function todo(change) {
  const line = text("p", "");
  line.append(text("b", "What to do: "), change);
  return line;
}

/** @param {string} name @param {string} content @param {string} [kind] */
function text(name, content, kind = "") {
  return Object.assign(document.createElement(name), { textContent: content, className: kind });
}

// ---- pictures ----
function showChoices() {
  if (!chosen || !pictures.some((each) => each.key === shown)) shown = (pictures.find((each) => each.key === "seams-moisture") ?? pictures[0])?.key ?? "";
  by("shown").replaceChildren(...pictures.map((each) => {
    const label = document.createElement("label");
    const radio = Object.assign(document.createElement("input"), { type: "radio", name: "picture", value: each.key, checked: each.key === shown });
    radio.addEventListener("change", () => { shown = each.key; chosen = true; showPicture(); });
    label.append(radio, text("span", each.name));
    return label;
  }));
  showPicture();
}

function showPicture() {
  const picture = pictures.find((each) => each.key === shown);
  if (!picture) { by("picture").replaceChildren(); return; }
  const read = new DOMParser().parseFromString(picture.svg, "image/svg+xml");
  by("picture").replaceChildren(document.importNode(read.documentElement, true));
  showLight();
  showPressed();
}

function showPressed() {
  const svg = by("picture").querySelector("svg");
  svg?.querySelector(".pressed")?.remove();
  if (!svg || !pressed) return;
  const [x, y] = [pressed[0], -pressed[1]];
  const arm = 0.02 * Number((svg.getAttribute("viewBox") ?? "0 0 1 1").split(" ")[2]);
  const path = `M${x - arm} ${y}H${x + arm}M${x} ${y - arm}V${y + arm}`;
  svg.append(shape("g", { class: "lit pressed" }, ["halo", "mark"].map((kind) => shape("path", { d: path, class: kind }))));
}

/** What the pressed verdict is about, over whatever picture is shown: they share one frame. */
function showLight() {
  const svg = by("picture").querySelector("svg");
  svg?.querySelector(".lit:not(.pressed)")?.remove();
  if (!svg || !light) return;
  const path = (/** @type {number[][]} */ points) => `M${points.map(([x, y]) => `${x} ${-y}`).join("L")}`;
  const [, , width, height] = (svg.getAttribute("viewBox") ?? "0 0 1 1").split(" ").map(Number);
  const marks = [];
  for (const kind of ["halo", "mark"]) {
    for (const ring of light.patches) marks.push(shape("path", { d: `${path(ring)}Z`, class: `${kind} ${kind === "mark" ? "area" : ""}` }));
    for (const line of light.lines) marks.push(shape("path", { d: path(line), class: kind }));
    for (const [x, y] of light.points) marks.push(shape("circle", { cx: x, cy: -y, r: 0.025 * Math.max(width, height), class: kind }));
  }
  svg.append(shape("g", { class: "lit" }, marks));
}

// ---- tries side by side ----
/** @param {[string, string][]} sums */
function keepTry(sums) {
  const name = tryName();
  const told = `${name} ${sums.map(([, value]) => value).join(" ")}`;
  if (told === last) return;
  last = told;
  const head = by("tried").parentElement?.querySelector("thead tr");
  if (head && head.children.length === 1) {
    head.append(...sums.map(([title]) => { const cell = text("th", title); cell.setAttribute("scope", "col"); return cell; }));
  }
  const row = document.createElement("tr");
  const first = text("th", name);
  first.setAttribute("scope", "row");
  row.append(first, ...sums.map(([, value]) => text("td", value)));
  by("tried").append(row);
  const tried = [...form.querySelectorAll("[name^=wood-]")].map((input) => /** @type {HTMLInputElement} */ (input).value.trim()).filter((each) => each && !compared.includes(each));
  if (tried.length) compareAlso(tried);
}

function tryName() {
  const given = new FormData(form);
  const woods = JSON.parse(by("drawn").textContent ?? "[]");
  const letters = [...form.querySelectorAll("[name^=wood-]")].map((input) => /** @type {HTMLInputElement} */ (input).name.slice(5));
  const named = letters.map((letter, place) => `${given.get(`wood-${letter}`) || woods[place]}${given.get(`ring-${letter}`) === "flat" ? "" : `, ${given.get(`ring-${letter}`)}`}`);
  const load = given.get("load") ? `; ${given.get("load")} ${given.get("force")} N` : "";
  return `${named.join(" + ")}; ${by("situation").textContent?.split("; ").slice(1, -1).join(", ")}${load}`;
}

// ---- woods side by side ----
/** @type {string[]} */
let compared = JSON.parse(by("drawn").textContent ?? "[]");

/** @param {string[]} names */
async function compare(names) {
  const wanted = new URLSearchParams(names.map((name) => ["name", name]));
  const answer = await ask(`/jobs/${job}/sound/woods?${wanted}`);
  const faults = answer.ok ? answer.said.faults : answer.faults;
  complain(by("strange"), faults);
  if (!answer.ok || faults.length) return false;
  const { woods, rows, sources } = answer.said;
  const heads = document.createElement("tr");
  heads.append(text("td", ""), ...woods.map((/** @type {any} */ wood) => {
    const cell = text("th", "");
    cell.setAttribute("scope", "col");
    cell.append(shape("svg", { viewBox: "0 0 1 1", "aria-hidden": "true" }, [shape("rect", { width: 1, height: 1, fill: wood.fill })]), wood.own ? `${wood.name} (your own)` : wood.name);
    return cell;
  }));
  by("woodnames").replaceChildren(heads);
  by("woodrows").replaceChildren(...rows.map((/** @type {any} */ row) => {
    const line = document.createElement("tr");
    const name = text("th", row.name);
    name.setAttribute("scope", "row");
    line.append(name, ...row.cells.map((/** @type {any} */ cell) => {
      const made = text("td", cell.text, cell.sure ? "" : "unsure");
      if (cell.from) made.append(text("small", cell.from));
      return made;
    }));
    return line;
  }));
  by("woodsources").replaceChildren(...sources.map((/** @type {string} */ told) => text("li", told)));
  return true;
}

/** @param {string[]} names @returns {Promise<boolean>} whether they are all known */
async function compareAlso(names) {
  const all = [...compared, ...names];
  const known = await compare(all);
  if (known) compared = all;
  return known;
}

by("compare").addEventListener("submit", async (event) => {
  event.preventDefault();
  const field = /** @type {HTMLInputElement} */ (/** @type {HTMLFormElement} */ (event.target).elements.namedItem("name"));
  if (await compareAlso([field.value])) field.value = "";
});

// ---- sliders and choices ----
function tell() {
  for (const slider of form.querySelectorAll("input[type=range]")) {
    const output = slider.closest("label")?.querySelector("output");
    if (output) output.textContent = /** @type {HTMLInputElement} */ (slider).value;
  }
}

form.addEventListener("input", (event) => {
  const moved = /** @type {HTMLInputElement | HTMLSelectElement} */ (event.target);
  const season = ["dry", "damp"].find((name) => moved.name.startsWith(name));
  if (season && moved instanceof HTMLInputElement) field(season).value = "own";
  if (season && moved instanceof HTMLSelectElement) {
    const chosen = moved.selectedOptions[0].dataset;
    if (chosen.h) field(`${season}_h`).value = chosen.h;
    if (chosen.t) field(`${season}_t`).value = chosen.t;
  }
  if (moved.name === "load" || moved.name.startsWith("from_")) pressed = null;
  if (moved.name === "load" && moved instanceof HTMLSelectElement) {
    for (const name of ["force", "from_left", "from_below"]) field(name).disabled = !moved.value;
    field("force").value = moved.selectedOptions[0].dataset.n ?? "200";
  }
  showPressed();
  tell();
  soon();
});
form.addEventListener("submit", (event) => event.preventDefault());
// a click on the picture says where the chosen load presses
by("picture").addEventListener("click", (event) => {
  const svg = by("picture").querySelector("svg");
  const matrix = svg?.getScreenCTM();
  if (!matrix || field("from_left").disabled) return;
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix.inverse());
  const typed = (/** @type {number} */ mm) => (by("sounding").dataset.unit === "in" ? (mm / 25.4).toFixed(2) : mm.toFixed(0));
  field("from_left").value = typed(at.x);
  field("from_below").value = typed(-at.y);
  pressed = [at.x, -at.y];
  showPressed();
  soon();
});
by("stop").addEventListener("click", async () => { turn += 1; clearTimeout(timer); await ask(`/jobs/${job}/sound/stop?${query()}`, {}); look(false); });
by("again").addEventListener("click", () => look(true));

tell();
look(true);
compare(compared);
