// @ts-check
// Setting the scale on the picture: a known length between two points, or a
// rectangle of known sides by its four corners. The form's own fields carry the
// points to the server, so that saving is an ordinary form post.

import { isConvex, nearest, pathThrough, typedNumber } from "./measure.js";
import { ask } from "./server.js";
import { svg } from "./svg.js";
import { toScreen } from "./view.js";

/** @typedef {{ x: number, y: number }} Point */
/** @typedef {"length" | "rectangle"} ScaleKind */

/**
 * How many points a kind of scale needs.
 * @param {ScaleKind} kind
 * @returns {number}
 */
export function pointsNeeded(kind) {
  return kind === "length" ? 2 : 4;
}

/**
 * What is still missing, in words, or "" when the scale can be saved.
 * @param {ScaleKind} kind
 * @param {Point[]} points picture px
 * @param {string[]} metres what was typed: the length, or width and height
 * @returns {string}
 */
export function missing(kind, points, metres) {
  const left = pointsNeeded(kind) - points.length;
  if (left > 0) return left === 1 ? "Click one more point." : `Click ${left} more points.`;
  if (kind === "rectangle" && !isConvex(points)) {
    return "The four corners cross. Start again and go round the rectangle in one direction.";
  }
  if (metres.some((m) => !(typedNumber(m) > 0))) {
    return kind === "length" ? "Type the length in metres." : "Type width and height in metres.";
  }
  return "";
}

/** @typedef {{ metres: number, upright: boolean, whole: boolean, px: [number, number][] }} GridLine */
/** @typedef {{ words: string, lines: GridLine[] }} Grid */

/**
 * The metre grid on the picture. Whole metres carry their number, once where a line
 * enters the picture.
 * @param {import("./view.js").View} view
 * @param {Grid} grid lines in picture px
 * @returns {SVGElement[]}
 */
export function drawGrid(view, grid) {
  const pieces = [];
  const words = [];
  for (const line of grid.lines) {
    const points = line.px.map(([x, y]) => toScreen(view, { x, y }));
    const cls = line.whole ? "grid whole-metre" : "grid";
    pieces.push(svg("path", { class: "grid-casing", d: pathThrough(points) }));
    pieces.push(svg("path", { class: cls, d: pathThrough(points) }));
    if (!line.whole) continue;
    // Numbers stand along the lower and the left edge.
    const end = points.reduce((a, b) => ((line.upright ? b.y > a.y : b.x < a.x) ? b : a));
    const at = line.upright ? { x: end.x + 4, y: end.y - 6 } : { x: end.x + 4, y: end.y - 4 };
    words.push(svg("text", at, `${line.metres} m`));
  }
  return [...pieces, ...words];
}

/** The scale form beside the picture. */
export class ScaleForm {
  /**
   * @param {HTMLFormElement} form
   * @param {() => void} changed the points or the grid to draw changed
   * @param {() => number} shown frame on the screen
   */
  constructor(form, changed, shown) {
    this.shown = shown;
    /** @type {Grid | null} */
    this.grid = null;
    this.asked = "";
    this.asking = false;
    this.form = form;
    this.changed = changed;
    this.active = false;
    /** @type {Point[]} */
    this.points = [];
    this.start = /** @type {HTMLButtonElement} */ (form.querySelector("[data-start]"));
    this.save = /** @type {HTMLButtonElement} */ (form.querySelector("[type=submit]"));
    this.words = /** @type {HTMLElement} */ (form.querySelector("[data-missing]"));
    this.gridWords = /** @type {HTMLElement} */ (form.querySelector("[data-grid]"));
    this.gridBox = /** @type {HTMLInputElement} */ (form.querySelector("[data-show-grid]"));
    this.start.addEventListener("click", () => this.begin());
    form.addEventListener("input", () => this.refresh());
    form.addEventListener("change", () => this.kindChanged());
    form.addEventListener("submit", (e) => {
      if (this.problem() !== "") e.preventDefault();
    });
    this.kindChanged();
  }

  /** @returns {ScaleKind} */
  get kind() {
    const picked = /** @type {RadioNodeList} */ (this.form.elements.namedItem("kind")).value;
    return picked === "rectangle" ? "rectangle" : "length";
  }

  begin() {
    this.active = true;
    this.points = [];
    this.gridBox.checked = true;
    this.refresh();
  }

  leave() {
    this.active = false;
    this.points = [];
    this.refresh();
  }

  /**
   * Takes a click on the picture.
   * @param {Point} p picture px
   */
  click(p) {
    if (this.points.length === pointsNeeded(this.kind)) this.points = [];
    this.points.push(p);
    this.frame.value = String(this.shown());
    if (this.points.length === pointsNeeded(this.kind)) this.firstNumber().focus();
    this.refresh();
  }

  /**
   * The point under the pointer, by its number as text.
   * @param {Point} at picture px
   * @param {number} reach picture px
   * @returns {string | null}
   */
  grab(at, reach) {
    const i = nearest(this.points, at, reach);
    return i < 0 ? null : String(i);
  }

  /**
   * @param {string} held
   * @param {Point} at picture px
   */
  drag(held, at) {
    this.points[Number(held)] = at;
    this.refresh();
  }

  /** What to draw on the picture. @param {import("./view.js").View} view */
  drawn(view) {
    return this.gridBox.checked && this.grid ? drawGrid(view, this.grid) : [];
  }

  /** Asks for the grid of what the form holds; while one answer is on its way the next waits. */
  async lookAtGrid() {
    if (!this.gridBox.checked) {
      this.gridWords.textContent = "";
      this.asked = ""; // shown again, it is asked again
      return;
    }
    const fields = new URLSearchParams();
    for (const [k, v] of new FormData(this.form)) fields.set(k, String(v));
    if (this.problem() !== "") fields.set("points_px", "[]"); // not whole yet: what is kept
    fields.set("shown", String(this.shown()));
    const question = `${this.form.action}/grid.json?${fields}`;
    if (this.asking || question === this.asked) return;
    this.asking = true;
    this.asked = question;
    try {
      this.grid = await ask(question);
    } catch (problem) {
      this.grid = { words: /** @type {Error} */ (problem).message, lines: [] };
    }
    this.asking = false;
    this.gridWords.textContent = this.grid?.words ?? "";
    this.changed();
    void this.lookAtGrid(); // what changed meanwhile
  }

  /** The field that tells on which frame the points stand. @returns {HTMLInputElement} */
  get frame() {
    return /** @type {HTMLInputElement} */ (this.form.elements.namedItem("frame"));
  }

  /** @returns {HTMLInputElement} */
  firstNumber() {
    const name = this.kind === "length" ? "length_m" : "width_m";
    return /** @type {HTMLInputElement} */ (this.form.elements.namedItem(name));
  }

  kindChanged() {
    for (const el of this.form.querySelectorAll("[data-kind]")) {
      /** @type {HTMLElement} */ (el).hidden = el.getAttribute("data-kind") !== this.kind;
    }
    if (this.points.length > pointsNeeded(this.kind)) this.points = [];
    this.refresh();
  }

  problem() {
    const names = this.kind === "length" ? ["length_m"] : ["width_m", "height_m"];
    const typed = names.map(
      (n) => /** @type {HTMLInputElement} */ (this.form.elements.namedItem(n)).value,
    );
    return missing(this.kind, this.points, typed);
  }

  refresh() {
    const problem = this.problem();
    this.save.disabled = problem !== "";
    this.words.textContent = this.active ? problem : "";
    this.start.setAttribute("aria-pressed", String(this.active));
    this.start.classList.toggle("chosen", this.active);
    const field = /** @type {HTMLInputElement} */ (this.form.elements.namedItem("points_px"));
    field.value = JSON.stringify(this.points.map((p) => [p.x, p.y]));
    this.changed();
    void this.lookAtGrid();
  }
}
