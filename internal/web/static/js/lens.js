// @ts-check
// Marking lines that are straight in the pool, from which the lens is found. The
// form's own field carries the points to the server.

import { nearest } from "./measure.js";
import { scalePoints } from "./overlay.js";
import { ask } from "./server.js";

/** @typedef {{ x: number, y: number }} Point */

/** How many points a line needs. */
export const linePoints = 5;

/**
 * What is still missing, in words, or "" when the lens can be found.
 * @param {Point[][]} lines picture px
 * @returns {string}
 */
export function missingPoints(lines) {
  const marked = lines.filter((line) => line.length > 0);
  if (marked.length === 0) return "Click along something straight, from side to side.";
  const short = marked.findIndex((line) => line.length < linePoints);
  if (short < 0) return "";
  const left = linePoints - marked[short].length;
  return `Line ${short + 1} needs ${left} more ${left === 1 ? "point" : "points"}.`;
}

/**
 * The lines as the server reads them, to a hundredth of a pixel.
 * @param {Point[][]} lines
 * @returns {string}
 */
export function linesText(lines) {
  const round = (/** @type {number} */ v) => Math.round(100 * v) / 100;
  return JSON.stringify(
    lines.filter((l) => l.length > 0).map((l) => l.map((p) => [round(p.x), round(p.y)])),
  );
}

/** The lens form beside the picture. */
export class LensForm {
  /**
   * @param {HTMLFormElement} form
   * @param {object} page
   * @param {() => void} page.changed the points to draw changed
   * @param {() => void} page.begun clicks on the picture go here from now on
   */
  constructor(form, page) {
    this.form = form;
    this.page = page;
    this.active = false;
    this.asked = "";
    this.asking = false;
    const kept = /** @type {[number, number][][]} */ (JSON.parse(form.dataset.lines ?? "[]"));
    this.kept = kept.map((line) => line.map(([x, y]) => ({ x, y })));
    /** @type {Point[][]} */
    this.lines = [];
    this.start = this.button("[data-start]");
    this.next = this.button("[data-next]");
    this.back = this.button("[data-back]");
    this.save = this.button("[type=submit]");
    this.words = /** @type {HTMLElement} */ (form.querySelector("[data-fit]"));
    this.start.addEventListener("click", () => this.begin());
    this.next.addEventListener("click", () => {
      this.lines.push([]);
      this.refresh();
    });
    this.back.addEventListener("click", () => this.takeBack());
    form.addEventListener("submit", (e) => {
      if (missingPoints(this.lines) !== "") e.preventDefault();
    });
    this.refresh();
  }

  /** @param {string} which @returns {HTMLButtonElement} */
  button(which) {
    return /** @type {HTMLButtonElement} */ (this.form.querySelector(which));
  }

  /** The kept lines come back to be mended; without any the first one begins. */
  begin() {
    this.page.begun();
    this.active = true;
    this.lines = this.kept.length > 0 ? this.kept.map((line) => [...line]) : [[]];
    this.refresh();
  }

  leave() {
    if (!this.active) return;
    this.active = false;
    this.lines = [];
    this.refresh();
  }

  takeBack() {
    this.lines.at(-1)?.pop();
    if (this.lines.length > 1 && this.lines.at(-1)?.length === 0) this.lines.pop();
    this.refresh();
  }

  /**
   * Takes a click on the picture.
   * @param {Point} p picture px
   */
  click(p) {
    this.lines.at(-1)?.push(p);
    this.refresh();
  }

  /**
   * The point under the pointer, by its line and number as text.
   * @param {Point} at picture px
   * @param {number} reach picture px
   * @returns {string | null}
   */
  grab(at, reach) {
    const all = this.lines.flatMap((line, l) => line.map((p, i) => ({ ...p, held: `${l} ${i}` })));
    const i = nearest(all, at, reach);
    return i < 0 ? null : all[i].held;
  }

  /**
   * @param {string} held
   * @param {Point} at picture px
   */
  drag(held, at) {
    const [l, i] = held.split(" ").map(Number);
    this.lines[l][i] = at;
    this.refresh();
  }

  /** What to draw on the picture. @param {import("./view.js").View} view */
  drawn(view) {
    return this.lines.flatMap((line) => scalePoints(view, line, false));
  }

  /** Asks what lens the lines give; while one answer is on its way the next waits. */
  async look() {
    const text = linesText(this.lines);
    if (!this.active || missingPoints(this.lines) !== "" || this.asking || text === this.asked)
      return;
    this.asking = true;
    this.asked = text;
    try {
      const fit = await ask(
        `${this.form.action}/fit.json?${new URLSearchParams({ lines_px: text })}`,
      );
      this.words.textContent = fit.problem || fit.words;
      this.save.disabled = !fit.known;
    } catch (problem) {
      this.words.textContent = /** @type {Error} */ (problem).message;
    }
    this.asking = false;
    this.refresh(); // what changed meanwhile
  }

  refresh() {
    const text = linesText(this.lines);
    const problem = missingPoints(this.lines);
    /** @type {HTMLInputElement} */ (this.form.elements.namedItem("lines_px")).value = text;
    if (problem !== "" || !this.active) {
      this.save.disabled = true;
      this.words.textContent = this.active ? problem : "";
      this.asked = "";
    } else if (text !== this.asked) {
      this.save.disabled = true;
    }
    this.next.disabled = !this.active || (this.lines.at(-1)?.length ?? 0) < linePoints;
    this.back.disabled = !this.active || this.lines.every((line) => line.length === 0);
    this.start.setAttribute("aria-pressed", String(this.active));
    this.start.classList.toggle("chosen", this.active);
    this.page.changed();
    void this.look();
  }
}
