// @ts-check
// What stands on a page of marking without the earlier marks.

/** @typedef {import("./earlier.js").Found} Found */
/** @typedef {{ place: number, landmark: string, x_px: number, y_px: number }} BlindMark */
/** @typedef {{ picture: string, frame: number, width: number, height: number, words: string, landmarks: string[], side: number }} BlindPlace */
/** @typedef {{ marks: BlindMark[], can_undo: boolean, can_redo: boolean, done: boolean, left: number }} BlindState */
/** @typedef {{ places: BlindPlace[], landmarks: { id: string, key: string, sentence: string }[], state: BlindState }} BlindData */

/**
 * The first place from `from` on, round the end, that is not wholly marked; -1 when
 * all are.
 * @param {BlindPlace[]} places
 * @param {BlindMark[]} marks
 * @param {number} from
 * @returns {number}
 */
export function nextPlace(places, marks, from) {
  for (let i = 0; i < places.length; i++) {
    const at = (from + i) % places.length;
    const has = marks.filter((m) => m.place === at).map((m) => m.landmark);
    if (places[at].landmarks.some((l) => !has.includes(l))) return at;
  }
  return -1;
}

/**
 * At most two feet marked on this page, nearest in the walk: one of the other run,
 * one of the same. A foot of a swimmer who swims the other way is mirrored.
 * @param {BlindPlace[]} places
 * @param {BlindMark[]} marks
 * @param {number} place the one being marked
 * @returns {Found[]}
 */
export function madeFeet(places, marks, place) {
  /** @type {(Found & { side: number, gap: number })[]} */
  const feet = [];
  places.forEach((p, i) => {
    const at = (/** @type {string} */ l) => marks.find((m) => m.place === i && m.landmark === l);
    const toe = at("toe");
    const ankle = at("ankle");
    if (i === place || !toe || !ankle) return;
    feet.push({
      address: p.picture,
      on: p.words,
      toe: [toe.x_px, toe.y_px],
      ankle: [ankle.x_px, ankle.y_px],
      side: p.side,
      gap: Math.abs(i - place),
    });
  });
  feet.sort((a, b) => a.gap - b.gap);
  const own = places[place].side;
  const toRight = (/** @type {number} */ side) => {
    const of = feet.filter((f) => f.side === side);
    return 2 * of.filter((f) => f.toe[0] > f.ankle[0]).length > of.length;
  };
  const mine = feet.find((f) => f.side === own);
  const other = feet.find((f) => f.side !== own);
  const turned = mine !== undefined && toRight(own) !== toRight(1 - own);
  /** @type {Found[]} */
  const found = [];
  if (other) found.push({ ...other, mirrored: turned });
  if (mine) found.push(mine);
  return found;
}
