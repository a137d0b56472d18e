// @ts-check
// Plane geometry of the marking page, in picture px.

/** @typedef {{ x: number, y: number }} Point */

/**
 * Distance between two points.
 * @param {Point} a
 * @param {Point} b
 * @returns {number}
 */
export function distance(a, b) {
  return Math.hypot(b.x - a.x, b.y - a.y);
}

/**
 * Which of the points is nearest to `at`, or -1 when none is within `reach`.
 * @param {Point[]} points
 * @param {Point} at
 * @param {number} reach
 * @returns {number}
 */
export function nearest(points, at, reach) {
  let best = -1;
  let least = reach;
  points.forEach((p, i) => {
    const d = distance(p, at);
    if (d <= least) {
      least = d;
      best = i;
    }
  });
  return best;
}

/**
 * Whether four points taken in order make a four-sided figure without a
 * crossing or a hollow corner, as a rectangle seen by a camera does.
 * @param {Point[]} p
 * @returns {boolean}
 */
export function isConvex(p) {
  if (p.length !== 4) return false;
  let sign = 0;
  for (let i = 0; i < 4; i++) {
    const a = p[i];
    const b = p[(i + 1) % 4];
    const c = p[(i + 2) % 4];
    const turn = (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x);
    if (turn === 0 || (sign !== 0 && Math.sign(turn) !== sign)) return false;
    sign = Math.sign(turn);
  }
  return true;
}

/**
 * A number a person typed, with a point or a comma; NaN when it is none.
 * @param {string} text
 * @returns {number}
 */
export function typedNumber(text) {
  const plain = text.trim().replace(",", ".");
  return /^-?\d+(\.\d+)?$/.test(plain) ? Number(plain) : Number.NaN;
}

/**
 * The landmark to choose after one was placed: the next in marking order that
 * has no mark on this picture, going round once; the same one when all have.
 * @param {string[]} order
 * @param {string} current
 * @param {(landmark: string) => boolean} marked
 * @returns {string}
 */
export function nextUnmarked(order, current, marked) {
  const from = order.indexOf(current);
  for (let step = 1; step <= order.length; step++) {
    const candidate = order[(from + step) % order.length];
    if (!marked(candidate)) return candidate;
  }
  return current;
}

/**
 * SVG path data through points, broken at null.
 * @param {(Point | null)[]} points
 * @returns {string}
 */
export function pathThrough(points) {
  let data = "";
  let pen = "M";
  for (const p of points) {
    if (!p) {
      pen = "M";
      continue;
    }
    data += `${pen}${p.x.toFixed(1)} ${p.y.toFixed(1)}`;
    pen = "L";
  }
  return data;
}
