// @ts-check
// What stands on one picture: marks, filled-in points and actions not saved yet.

/** @typedef {{ x: number, y: number }} Point */
/** @typedef {{ landmark: string, x_px: number, y_px: number }} Spot */
/** @typedef {Spot & { frame: number }} Mark */
/**
 * @typedef {object} Action what a person does to a mark
 * @property {"place" | "accept" | "delete" | "undo" | "redo"} do accept: a filled-in point as it stands
 * @property {string} landmark
 * @property {number} x_px
 * @property {number} y_px
 * @property {number} [frame] index of the picture within the clip
 * @property {number} [place] of a list of pictures to be marked without the earlier marks
 */
/** @typedef {{ from: number, x_px: (number | null)[], y_px: (number | null)[], sd_px: (number | null)[] }} Trace */
/**
 * @typedef {object} Marks
 * @property {number} seq
 * @property {Mark[] | null} marks
 * @property {boolean} can_undo
 * @property {boolean} can_redo
 * @property {Record<string, Trace> | null} traces
 * @property {string} note
 * @property {import("./next.js").Next | null} [next]
 * @property {import("./next.js").Meter} meter
 * @property {string[]} [warnings]
 */
/**
 * @typedef {object} Shown a point on the picture
 * @property {string} landmark
 * @property {number} x picture px
 * @property {number} y picture px
 * @property {boolean} marked placed or accepted by a person; otherwise filled in
 * @property {boolean} saved
 * @property {number} sd standard error per axis, px; 0 for a mark
 */

/** Landmarks in the order of the line through the body. */
export const bodyLine = [
  "fingertip",
  "wrist",
  "elbow",
  "shoulder",
  "rib",
  "hip",
  "knee",
  "ankle",
  "toe",
];

/**
 * Marks with the waiting actions laid on top: what the person expects to see.
 * Undo and redo change nothing here until the server has answered.
 * @template {"frame" | "place"} K
 * @param {K} on what tells one picture from another
 * @param {(Spot & Record<K, number>)[]} marks
 * @param {Action[]} waiting
 * @returns {(Spot & Record<K, number> & { saved: boolean })[]}
 */
export function withWaiting(on, marks, waiting) {
  /** @type {Map<string, any>} */
  const by = new Map();
  for (const m of marks) by.set(`${m[on]} ${m.landmark}`, { ...m, saved: true });
  for (const a of waiting) {
    const key = `${a[on]} ${a.landmark}`;
    if (a.do === "delete") by.delete(key);
    if (a.do === "place" || a.do === "accept") {
      const { landmark, x_px, y_px } = a;
      by.set(key, { [on]: a[on], landmark, x_px, y_px, saved: false });
    }
  }
  return [...by.values()];
}

/**
 * A mark as a point to draw.
 * @param {Spot & { saved: boolean }} m
 * @returns {Shown}
 */
export function markedPoint({ landmark, x_px, y_px, saved }) {
  return { landmark, x: x_px, y: y_px, marked: true, saved, sd: 0 };
}

/**
 * A trace's point on a frame, or null where nothing is known.
 * @param {Trace | undefined} trace
 * @param {number} frame index of the picture within the clip
 * @returns {{ x: number, y: number, sd: number } | null}
 */
export function traceAt(trace, frame) {
  if (!trace) return null;
  const i = frame - trace.from;
  const x = trace.x_px[i];
  const y = trace.y_px[i];
  if (x == null || y == null) return null;
  return { x, y, sd: trace.sd_px[i] ?? 0 };
}

/**
 * The points to draw on a frame: every mark, and the filled-in points of the
 * landmarks that have none.
 * @param {(Mark & { saved: boolean })[]} marks
 * @param {Record<string, Trace>} traces
 * @param {number} frame
 * @returns {Shown[]}
 */
export function pointsOn(marks, traces, frame) {
  /** @type {Shown[]} */
  const points = [];
  const has = new Set();
  for (const m of marks) {
    if (m.frame !== frame) continue;
    has.add(m.landmark);
    points.push(markedPoint(m));
  }
  for (const landmark of Object.keys(traces)) {
    const p = has.has(landmark) ? null : traceAt(traces[landmark], frame);
    if (p) points.push({ landmark, x: p.x, y: p.y, marked: false, saved: true, sd: p.sd });
  }
  return points;
}

/**
 * Whether a filled-in point is doubtful: its standard error is above 1.5 % of the length
 * of the body on the picture, the coarser of the two marking levels.
 * @param {number} sd px
 * @param {Shown[]} points all points of the picture
 * @returns {boolean}
 */
export function doubtful(sd, points) {
  const line = points.filter((p) => bodyLine.includes(p.landmark));
  let length = 0;
  for (const a of line)
    for (const b of line) length = Math.max(length, Math.hypot(a.x - b.x, a.y - b.y));
  return length > 0 && sd > 0.015 * length;
}

/**
 * The neighbouring frames that hold at least one mark.
 * @param {{ frame: number }[]} marks
 * @param {number} frame
 * @param {number} by 1 for the next, -1 for the one before
 * @returns {number | null}
 */
export function markedFrame(marks, frame, by) {
  const beyond = marks.map((m) => m.frame).filter((f) => (by > 0 ? f > frame : f < frame));
  if (beyond.length === 0) return null;
  return by > 0 ? Math.min(...beyond) : Math.max(...beyond);
}
