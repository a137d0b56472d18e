// @ts-check
// Where a run lies on the motion ribbon.

/** Width of the ribbon's own view box. */
export const wide = 1000;

/**
 * Place of a run whose ends are typed; nothing where they are no run.
 * @param {string} from
 * @param {string} to
 * @param {number} frames of the clip
 * @returns {{ x: number, width: number }}
 */
export function sizeOf(from, to, frames) {
  const a = from === "" ? Number.NaN : Number(from);
  const b = to === "" ? Number.NaN : Number(to);
  if (!(a >= 0) || !(b > a) || !(b < frames)) return { x: 0, width: 0 };
  const scale = wide / (frames - 1);
  return { x: a * scale, width: (b - a) * scale };
}
