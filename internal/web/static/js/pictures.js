// @ts-check
// The pictures of the run: the one on the screen, and its neighbours read
// ahead.

/**
 * The places around `at`, nearest first, forwards before backwards.
 * @param {number} at
 * @param {number} count how many places there are
 * @param {number} reach how far to go
 * @returns {number[]}
 */
export function neighbours(at, count, reach) {
  const places = [];
  for (let d = 1; d <= reach; d++) {
    if (at + d < count) places.push(at + d);
    if (at - d >= 0) places.push(at - d);
  }
  return places;
}

/**
 * Which kept places to let go so that at most `keep` stay: those furthest away.
 * @param {Iterable<number>} kept
 * @param {number} at
 * @param {number} keep
 * @returns {number[]}
 */
export function tooFar(kept, at, keep) {
  const byDistance = [...kept].sort((a, b) => Math.abs(a - at) - Math.abs(b - at));
  return byDistance.slice(keep);
}

/** Pictures of a run, read once and kept near the one that is looked at. */
export class Pictures {
  /**
   * @param {(place: number) => string} address of the picture at a place
   * @param {number} count
   */
  constructor(address, count) {
    this.address = address;
    this.count = count;
    /** @type {Map<number, Promise<HTMLImageElement>>} */
    this.kept = new Map();
  }

  /**
   * The decoded picture at a place.
   * @param {number} place
   * @returns {Promise<HTMLImageElement>}
   */
  at(place) {
    let picture = this.kept.get(place);
    if (!picture) {
      picture = this.read(place);
      this.kept.set(place, picture);
      picture.catch(() => this.kept.delete(place));
    }
    return picture;
  }

  /** @param {number} place */
  async read(place) {
    const img = new Image();
    img.src = this.address(place);
    await img.decode();
    return img;
  }

  /**
   * Reads ahead around a place and lets go of pictures far from it.
   * @param {number} place
   */
  around(place) {
    for (const p of neighbours(place, this.count, 4)) this.at(p).catch(() => {});
    for (const p of tooFar(this.kept.keys(), place, 40)) this.kept.delete(p);
  }
}
