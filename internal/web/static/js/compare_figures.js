// @ts-check
// What follows the films: both outlines on one body line, the cursor on the curves, the
// dots on the toe's paths.

import { between } from "./phase_axis.js";
import { svg } from "./svg.js";

/** @typedef {import("./compare.js").Run} Run */

// The order in which landmarks are joined.
const chain = ["fingertip", "wrist", "elbow", "shoulder", "hip", "knee", "ankle", "toe"];

/**
 * The path of a body at a time, y up as the page draws down.
 * @param {Run["figure"]} figure
 * @param {number} t s
 * @param {string[]} landmarks
 * @param {number} scale px per length of the body
 * @returns {string}
 */
export function bodyPath(figure, t, landmarks, scale) {
  let d = "";
  for (const name of landmarks) {
    const p = figure.points[name];
    if (!p) continue;
    const x = between(figure.times, p.x, t) * scale;
    const y = -between(figure.times, p.y, t) * scale;
    if (Number.isNaN(x + y)) continue;
    d += `${d === "" ? "M" : "L"}${x.toFixed(1)} ${y.toFixed(1)}`;
  }
  return d;
}

/**
 * The corners of a path of straight lines.
 * @param {string} d such as "M1 2L3 4"
 * @returns {{ x: number, y: number }[]}
 */
export function corners(d) {
  return [...d.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map((m) => ({
    x: Number(m[1]),
    y: Number(m[2]),
  }));
}

// Px of the drawing per length of the body from shoulder to ankle.
const bodyPx = 300;

export class Figures {
  /**
   * @param {ParentNode} page
   * @param {Run[]} runs
   */
  constructor(page, runs) {
    this.runs = runs;
    const box = page.querySelector("[data-outlines]");
    this.outlines = box ? runs.map((_, i) => this.outline(box, i)) : [];
    /** @type {{ line: SVGElement, from: number, to: number }[]} */
    this.cursors = [];
    for (const chart of page.querySelectorAll("[data-phase-chart] svg")) this.addCursor(chart);
    /** @type {{ dot: SVGElement, path: { x: number, y: number }[] }[]} */
    this.dots = [];
    for (const chart of page.querySelectorAll("[data-toe-paths] svg")) this.addDots(chart);
  }

  /**
   * @param {Element} box
   * @param {number} i
   */
  outline(box, i) {
    const line = svg("path", { class: `line run-${i + 1}` });
    const heel = svg("path", { class: `line run-${i + 1}` });
    const label = svg("text", { class: "label", "text-anchor": "end" }, String(i + 1));
    box.append(line, heel, label);
    return { line, heel, label };
  }

  /** @param {Element} chart */
  addCursor(chart) {
    const parts = [...chart.querySelectorAll("rect.part")];
    if (parts.length < 2) return;
    /** @param {Element} r @param {string} name */
    const number = (r, name) => Number(r.getAttribute(name));
    const first = parts[0];
    const last = parts[parts.length - 1];
    const line = svg("line", {
      class: "cursor",
      y1: number(first, "y"),
      y2: number(first, "y") + number(first, "height"),
    });
    chart.append(line);
    this.cursors.push({
      line,
      from: number(first, "x"),
      to: number(last, "x") + number(last, "width"),
    });
  }

  /** @param {Element} chart */
  addDots(chart) {
    this.runs.forEach((_, i) => {
      const path = chart.querySelector(`path.line.run-${i + 1}`);
      if (!path) return;
      const dot = svg("circle", { class: `dot run-${i + 1}`, r: 5 });
      chart.append(dot);
      this.dots.push({ dot, path: corners(path.getAttribute("d") ?? "") });
    });
  }

  /**
   * @param {number[]} times of every run, s
   * @param {number} phase 0..1
   */
  show(times, phase) {
    this.outlines.forEach((o, i) => {
      const { figure } = this.runs[i];
      o.line.setAttribute("d", bodyPath(figure, times[i], chain, bodyPx));
      o.heel.setAttribute("d", bodyPath(figure, times[i], ["ankle", "heel"], bodyPx));
      const toe = corners(bodyPath(figure, times[i], ["toe"], bodyPx))[0];
      if (toe) {
        o.label.setAttribute("x", String(toe.x - 6));
        o.label.setAttribute("y", String(toe.y + 4));
      }
    });
    for (const c of this.cursors) {
      const x = (c.from + phase * (c.to - c.from)).toFixed(1);
      c.line.setAttribute("x1", x);
      c.line.setAttribute("x2", x);
    }
    for (const { dot, path } of this.dots) {
      const p = path[Math.round(phase * (path.length - 1))];
      if (!p) continue;
      dot.setAttribute("cx", String(p.x));
      dot.setAttribute("cy", String(p.y));
    }
  }
}
