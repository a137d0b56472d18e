// @ts-check
// The phase axis of a kick, and which picture belongs to a phase. Phase 0 is a toe
// top, 0.5 the toe bottom, 1 the next top, linear in between.

/**
 * @typedef {object} Kick
 * @property {number} number
 * @property {number} start s, toe top
 * @property {number} bottom s, toe bottom
 * @property {number} end s, next toe top
 */

/**
 * The time of a phase of a kick, s.
 * @param {Kick} k
 * @param {number} phase 0..1
 * @returns {number}
 */
export function timeAt(k, phase) {
  return phase <= 0.5
    ? k.start + 2 * phase * (k.bottom - k.start)
    : k.bottom + (2 * phase - 1) * (k.end - k.bottom);
}

/**
 * The phase of a time, s; the inverse of timeAt.
 * @param {Kick} k
 * @param {number} t s
 * @returns {number}
 */
export function phaseAt(k, t) {
  return t <= k.bottom
    ? (0.5 * (t - k.start)) / (k.bottom - k.start)
    : 0.5 + (0.5 * (t - k.bottom)) / (k.end - k.bottom);
}

/**
 * The place of the time nearest to t; times rise.
 * @param {number[]} times s
 * @param {number} t s
 * @returns {number}
 */
export function nearest(times, t) {
  let lo = 0;
  let hi = times.length - 1;
  while (hi - lo > 1) {
    const mid = (lo + hi) >> 1;
    if (times[mid] <= t) lo = mid;
    else hi = mid;
  }
  return t - times[lo] <= times[hi] - t ? lo : hi;
}

/**
 * The places whose pictures a kick shows, from its start to its end, in order.
 * @param {number[]} times s
 * @param {Kick} k
 * @returns {number[]}
 */
export function placesOf(times, k) {
  const places = [];
  const last = nearest(times, k.end);
  for (let i = nearest(times, k.start); i <= last; i++) places.push(i);
  return places;
}

/**
 * Moves a place on the axis of several kicks, whole kicks before the point, phase
 * behind it, by a time of the leading kick, s, and starts anew at the end.
 * @param {number} place 0..turns
 * @param {number} by s
 * @param {Kick[]} lead the leading run's kicks, one per turn
 * @returns {number}
 */
export function advance(place, by, lead) {
  let turn = Math.min(Math.floor(place), lead.length - 1);
  let t = timeAt(lead[turn], place - turn) + by;
  for (let guard = 0; t >= lead[turn].end && guard < 1000; guard++) {
    t -= lead[turn].end;
    turn = (turn + 1) % lead.length;
    t += lead[turn].start;
  }
  return turn + Math.max(0, phaseAt(lead[turn], t));
}

/**
 * The phase in words, for readers of the screen.
 * @param {number} phase 0..1
 * @returns {string}
 */
export function phaseWords(phase) {
  const part = phase <= 0.5 ? "downkick" : "upkick";
  const within = phase <= 0.5 ? phase * 2 : phase * 2 - 1;
  return `${part}, ${Math.round(100 * within)} %`;
}

/**
 * A value between samples at rising times, linearly; NaN outside or where a
 * neighbour is not known.
 * @param {number[]} times
 * @param {(number | null)[]} values
 * @param {number} t
 * @returns {number}
 */
export function between(times, values, t) {
  const n = times.length;
  if (n < 2 || t < times[0] || t > times[n - 1]) return Number.NaN;
  let i = nearest(times, t);
  if (times[i] > t) i--;
  i = Math.min(Math.max(i, 0), n - 2);
  const a = values[i];
  const b = values[i + 1];
  if (a === null || b === null) return Number.NaN;
  return a + ((t - times[i]) / (times[i + 1] - times[i])) * (b - a);
}
