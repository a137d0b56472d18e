// @ts-check
// Setting the scale on the picture: a known length between two points, or a
// rectangle of known sides by its four corners. The form's own fields carry the
// points to the server, so that saving is an ordinary form post.

import { isConvex, typedNumber } from "./measure.js";

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

/** The scale form beside the picture. */
export class ScaleForm {
  /**
   * @param {HTMLFormElement} form
   * @param {() => void} changed the points to draw changed
   */
  constructor(form, changed) {
    this.form = form;
    this.changed = changed;
    this.active = false;
    /** @type {Point[]} */
    this.points = [];
    this.start = /** @type {HTMLButtonElement} */ (form.querySelector("[data-start]"));
    this.save = /** @type {HTMLButtonElement} */ (form.querySelector("[type=submit]"));
    this.words = /** @type {HTMLElement} */ (form.querySelector("[data-missing]"));
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
    if (this.points.length === pointsNeeded(this.kind)) this.firstNumber().focus();
    this.refresh();
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
  }
}
