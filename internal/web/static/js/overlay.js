// @ts-check
// Draws points and body line over the picture, in screen px.

import { bodyLine, doubtful } from "./points.js";
import { cased, svg } from "./svg.js";
import { toScreen } from "./view.js";

/** @typedef {import("./points.js").Shown} Shown */
/** @typedef {import("./view.js").View} View */
/** @typedef {import("./view.js").Point} Point */

/**
 * @param {Element} layer an svg element; its content is replaced
 * @param {View} view
 * @param {Shown[]} points
 * @param {string} chosen landmark
 */
export function drawPoints(layer, view, points, chosen) {
  const at = new Map(points.map((p) => [p.landmark, toScreen(view, p)]));
  const pieces = bodySegments(at);
  for (const p of points) pieces.push(point(p, view, at, points, p.landmark === chosen));
  layer.replaceChildren(...pieces);
}

/**
 * @param {Map<string, Point>} at
 * @returns {SVGElement[]}
 */
function bodySegments(at) {
  const present = bodyLine.filter((l) => at.has(l));
  const pairs = present.slice(1).map((l, i) => [present[i], l]);
  if (at.has("ankle") && at.has("heel")) pairs.push(["ankle", "heel"]);
  return pairs.flatMap(([from, to]) => {
    const a = /** @type {Point} */ (at.get(from));
    const b = /** @type {Point} */ (at.get(to));
    return cased("line", "segment", { x1: a.x, y1: a.y, x2: b.x, y2: b.y });
  });
}

/**
 * @param {Shown} p
 * @param {View} view
 * @param {Map<string, Point>} at
 * @param {Shown[]} all
 * @param {boolean} isChosen
 * @returns {SVGElement}
 */
function point(p, view, at, all, isChosen) {
  const s = /** @type {Point} */ (at.get(p.landmark));
  const name = svg("title", {}, `${p.landmark}, ${p.marked ? "marked" : "filled in"}`);
  const group = svg(
    "g",
    { class: isChosen ? "chosen-point" : "", "data-landmark": p.landmark },
    name,
  );
  if (!p.saved) group.classList.add("unsaved");
  if (p.marked) {
    group.append(
      ...tick(p.landmark, s, at),
      svg("circle", { class: "marked", cx: s.x, cy: s.y, r: isChosen ? 5 : 4 }),
    );
    return group;
  }
  const halo = 1.96 * p.sd * view.scale;
  if (halo > 7) {
    const cls = doubtful(p.sd, all) ? "halo doubtful" : "halo";
    group.append(svg("circle", { class: cls, cx: s.x, cy: s.y, r: halo }));
  }
  group.append(...cased("circle", "filled-in", { cx: s.x, cy: s.y, r: isChosen ? 6 : 5 }));
  return group;
}

/**
 * The short tick of a mark, along the segment to the next landmark.
 * @param {string} landmark
 * @param {Point} s
 * @param {Map<string, Point>} at
 * @returns {SVGElement[]}
 */
function tick(landmark, s, at) {
  const i = bodyLine.indexOf(landmark);
  const towards =
    landmark === "heel"
      ? at.get("ankle")
      : (bodyLine
          .slice(i + 1)
          .map((l) => at.get(l))
          .find(Boolean) ??
        bodyLine
          .slice(0, Math.max(i, 0))
          .reverse()
          .map((l) => at.get(l))
          .find(Boolean));
  if (!towards || (i < 0 && landmark !== "heel")) return [];
  const length = Math.hypot(towards.x - s.x, towards.y - s.y);
  if (length < 1) return [];
  const dx = (towards.x - s.x) / length;
  const dy = (towards.y - s.y) / length;
  const end = Math.min(13, length);
  return [
    svg("line", {
      class: "marked-tick-casing",
      x1: s.x,
      y1: s.y,
      x2: s.x + dx * end,
      y2: s.y + dy * end,
    }),
    svg("line", { class: "marked-tick", x1: s.x, y1: s.y, x2: s.x + dx * end, y2: s.y + dy * end }),
  ];
}

/**
 * The cross that arrow keys move.
 * @param {View} view
 * @param {Point} p picture px
 * @returns {SVGElement[]}
 */
export function hand(view, p) {
  const s = toScreen(view, p);
  return [
    ...cased("path", "hand", {
      d: `M${s.x - 14} ${s.y}H${s.x - 4}M${s.x + 4} ${s.y}H${s.x + 14}M${s.x} ${s.y - 14}V${s.y - 4}M${s.x} ${s.y + 4}V${s.y + 14}`,
    }),
  ];
}

/**
 * Numbered points of a scale being set, joined in order.
 * @param {View} view
 * @param {Point[]} points picture px
 * @param {boolean} closed
 * @returns {SVGElement[]}
 */
export function scalePoints(view, points, closed) {
  const s = points.map((p) => toScreen(view, p));
  const pieces = [];
  for (let i = 1; i < s.length + (closed ? 1 : 0); i++) {
    const a = s[i - 1];
    const b = s[i % s.length];
    pieces.push(...cased("line", "segment", { x1: a.x, y1: a.y, x2: b.x, y2: b.y }));
  }
  s.forEach((p, i) => {
    pieces.push(svg("circle", { class: "marked", cx: p.x, cy: p.y, r: 4 }));
    pieces.push(svg("text", { x: p.x + 8, y: p.y - 8 }, String(i + 1)));
  });
  return pieces;
}
