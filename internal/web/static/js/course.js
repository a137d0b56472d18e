// @ts-check
// The course of the chosen landmark under the picture: its height over the
// frames, marked dots, filled-in line and error halo. A click jumps there.

import { pathThrough } from "./measure.js";
import { svg } from "./svg.js";

/** @typedef {import("./points.js").Trace} Trace */
/** @typedef {import("./points.js").Mark} Mark */

/**
 * Vertical scale that holds all heights with a margin.
 * @param {number[]} heights picture px, y down
 * @param {number} room CSS px
 * @returns {(y: number) => number}
 */
export function heightScale(heights, room) {
  const lo = Math.min(...heights);
  const hi = Math.max(...heights);
  const span = Math.max(hi - lo, 1);
  const margin = 8;
  return (y) => margin + ((y - lo) / span) * (room - 2 * margin);
}

/** Room at both ends, CSS px, so that dots on the first and last frame are whole. */
const ends = 5;

/**
 * @param {Element} box an svg element; its content is replaced
 * @param {object} what
 * @param {number[]} what.frames index within the clip of every place of the run
 * @param {number} what.place the one on the screen
 * @param {Trace | undefined} what.trace
 * @param {Mark[]} what.marks of the chosen landmark
 */
export function drawCourse(box, { frames, place, trace, marks }) {
  const width = box.clientWidth;
  const height = box.clientHeight;
  const x = (/** @type {number} */ p) => ends + ((p + 0.5) / frames.length) * (width - 2 * ends);
  const placeOf = new Map(frames.map((f, i) => [f, i]));
  const pieces = [svg("line", { class: "now", x1: x(place), y1: 0, x2: x(place), y2: height })];
  const known = frames.map((f) => at(trace, f));
  const heights = [
    ...known.flatMap((k) => (k ? [k.y - 1.96 * k.sd, k.y + 1.96 * k.sd] : [])),
    ...marks.map((m) => m.y_px),
  ];
  if (heights.length > 0) {
    const y = heightScale(heights, height);
    pieces.push(...halo(known, x, y));
    const line = known.map((k, i) => (k ? { x: x(i), y: y(k.y) } : null));
    pieces.push(svg("path", { class: "line", d: pathThrough(line) }));
    for (const m of marks) {
      const p = placeOf.get(m.frame);
      if (p !== undefined)
        pieces.push(svg("circle", { class: "dot", cx: x(p), cy: y(m.y_px), r: 3.5 }));
    }
  }
  box.replaceChildren(...pieces);
}

/**
 * @param {Trace | undefined} trace
 * @param {number} frame
 */
function at(trace, frame) {
  const i = trace ? frame - trace.from : -1;
  const y = trace?.y_px[i];
  return y == null ? null : { y, sd: trace?.sd_px[i] ?? 0 };
}

/**
 * @param {({ y: number, sd: number } | null)[]} known
 * @param {(p: number) => number} x
 * @param {(y: number) => number} y
 * @returns {SVGElement[]}
 */
function halo(known, x, y) {
  const pieces = [];
  for (let i = 0; i < known.length; i++) {
    const run = [];
    for (; i < known.length && known[i]; i++) run.push(i);
    if (run.length < 2) continue;
    const edge = (/** @type {number} */ side) => (/** @type {number} */ j) => {
      const k = /** @type {{ y: number, sd: number }} */ (known[j]);
      return { x: x(j), y: y(k.y + side * 1.96 * k.sd) };
    };
    const outline = [...run.map(edge(1)), ...run.reverse().map(edge(-1))];
    pieces.push(svg("path", { class: "halo", d: `${pathThrough(outline)}Z` }));
  }
  return pieces;
}

/**
 * The place of the run under a click.
 * @param {number} offset CSS px from the left edge
 * @param {number} width CSS px
 * @param {number} count places in the run
 * @returns {number}
 */
export function placeAt(offset, width, count) {
  const share = (offset - ends) / Math.max(width - 2 * ends, 1);
  return Math.min(count - 1, Math.max(0, Math.floor(share * count)));
}
