// @ts-check
// The one frame that the server asks for: which frame that is for a person who
// could not mark some, what is left to mark on it, and the words about it.

/**
 * @typedef {object} Next
 * @property {number} frame index of the picture within the clip
 * @property {string[]} landmarks to mark on it, in marking order
 * @property {number[]} [others] frames to turn to instead, best first
 * @property {string} why
 */
/**
 * @typedef {object} Meter how near the marks are to good enough, 0 to 1
 * @property {number} speed
 * @property {number} sweep
 * @property {number} build
 * @property {number} facing
 * @property {number} level 0, 1 or 2
 * @property {string} enough
 */

/**
 * The frame to go to: the one asked for, or the first of the others that is not
 * close to a frame which could not be marked; the one asked for when all are.
 * @param {Next} next
 * @param {Iterable<number>} refused frames that could not be marked
 * @param {number} near how close counts as the same, frames
 * @returns {number}
 */
export function frameFor(next, refused, near) {
  const not = [...refused];
  const free = [next.frame, ...(next.others ?? [])].find((f) =>
    not.every((r) => Math.abs(f - r) > near),
  );
  return free ?? next.frame;
}

/**
 * Landmarks of an ask that have no mark yet.
 * @param {{ landmarks: string[] } | null} ask
 * @param {(landmark: string) => boolean} isMarked on the ask's frame
 * @returns {string[]}
 */
export function leftOf(ask, isMarked) {
  return ask ? ask.landmarks.filter((l) => !isMarked(l)) : [];
}

/**
 * "toe, ankle and knee"
 * @param {string[]} names
 * @returns {string}
 */
export function listed(names) {
  if (names.length < 2) return names.join("");
  return `${names.slice(0, -1).join(", ")} and ${names[names.length - 1]}`;
}

/**
 * What a bar of the meter reads.
 * @param {number} share 0 to 1
 * @returns {string}
 */
export function shareWords(share) {
  return share >= 1 ? "enough" : `${Math.floor(100 * share)} %`;
}
