// @ts-check
// Decoded pictures of several films, cut to the swimmer, kept within a bound in bytes.

/** Bytes of a decoded picture point: red, green, blue, opacity. */
const pointBytes = 4;

/**
 * How wide kept pictures may be, px, so that all fit the bound: as wide as they are
 * shown, or less. Never below a tenth of what is shown.
 * @param {number} shown px
 * @param {number} aspect width to height
 * @param {number} pictures how many are kept at once
 * @param {number} bytes the bound
 * @returns {number}
 */
export function fittingWidth(shown, aspect, pictures, bytes) {
  const most = Math.floor(Math.sqrt((bytes * aspect) / (pointBytes * Math.max(1, pictures))));
  return Math.max(Math.min(Math.round(shown), most), Math.ceil(shown / 10));
}

/**
 * @typedef {object} Cut a window on a picture, px of the picture as it is read
 * @property {string} address
 * @property {number} x
 * @property {number} y
 * @property {number} width
 * @property {number} height
 */

/**
 * Reads a picture and decodes its window; beyond the picture's edges it is clear.
 * @param {Cut} cut
 * @param {number} width px of the result
 * @param {number} height px of the result
 * @param {AbortSignal} [signal]
 * @returns {Promise<ImageBitmap>}
 */
export async function readCut(cut, width, height, signal) {
  const answer = await fetch(cut.address, { signal });
  if (!answer.ok) throw new Error(`The picture ${cut.address} was not given.`);
  return createImageBitmap(await answer.blob(), cut.x, cut.y, cut.width, cut.height, {
    resizeWidth: width,
    resizeHeight: height,
    resizeQuality: "medium",
  });
}

/**
 * @typedef {{ width: number, height: number, close(): void }} Kept
 */

/**
 * Pictures by key, read ahead in the order in which they are wanted, a few at a time.
 * What is not wanted any more is closed at once, so the bytes kept never pass those of
 * the wanted pictures. A picture of another size than is wanted now serves until the new
 * one is there.
 * @template {Kept} P
 */
export class PictureStore {
  /**
   * @param {(key: string, signal: AbortSignal) => Promise<P>} read
   * @param {{ atOnce?: number, changed?: () => void, fresh?: (p: P) => boolean }} [options] fresh: whether a picture has the size wanted now
   */
  constructor(read, options = {}) {
    this.read = read;
    this.atOnce = options.atOnce ?? 3;
    this.changed = options.changed ?? (() => {});
    this.fresh = options.fresh ?? (() => true);
    /** @type {string[]} */
    this.wanted = [];
    /** @type {Map<string, P>} */
    this.kept = new Map();
    /** @type {Map<string, AbortController>} */
    this.reading = new Map();
    /** @type {Map<string, number>} */
    this.failed = new Map();
    this.bytes = 0;
  }

  /**
   * Says which pictures are wanted, most urgent first.
   * @param {string[]} keys
   */
  want(keys) {
    this.wanted = keys;
    const set = new Set(keys);
    for (const key of [...this.kept.keys()]) if (!set.has(key)) this.drop(key);
    for (const [key, stop] of this.reading) if (!set.has(key)) stop.abort();
    this.fill();
  }

  /** @param {string} key */
  at(key) {
    return this.kept.get(key);
  }

  /** How many of the wanted pictures are there. */
  ready() {
    let n = 0;
    for (const key of this.wanted) if (this.kept.has(key)) n++;
    return n;
  }

  /** Tries again what could not be read. */
  again() {
    this.failed.clear();
    this.fill();
  }

  /** @param {string} key */
  drop(key) {
    const p = this.kept.get(key);
    if (!p) return;
    this.kept.delete(key);
    this.bytes -= pointBytes * p.width * p.height;
    p.close();
  }

  clear() {
    this.want([]);
  }

  fill() {
    this.begin((key) => this.kept.has(key));
    this.begin((key) => {
      const p = this.kept.get(key);
      return p !== undefined && this.fresh(p);
    });
  }

  /**
   * Begins to read what is not there, as far as a few at once allow.
   * @param {(key: string) => boolean} there
   */
  begin(there) {
    for (const key of this.wanted) {
      if (this.reading.size >= this.atOnce) return;
      const tries = this.failed.get(key) ?? 0;
      if (!there(key) && !this.reading.has(key) && tries < 3) this.fetch(key);
    }
  }

  /** @param {string} key */
  async fetch(key) {
    const stop = new AbortController();
    this.reading.set(key, stop);
    try {
      const p = await this.read(key, stop.signal);
      if (stop.signal.aborted) p.close();
      else this.keep(key, p);
    } catch {
      if (!stop.signal.aborted) this.failed.set(key, (this.failed.get(key) ?? 0) + 1);
    } finally {
      if (this.reading.get(key) === stop) this.reading.delete(key);
    }
    this.changed();
    this.fill();
  }

  /**
   * @param {string} key
   * @param {P} p
   */
  keep(key, p) {
    this.drop(key);
    this.kept.set(key, p);
    this.bytes += pointBytes * p.width * p.height;
  }
}
