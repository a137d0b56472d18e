// @ts-check
// One film of a comparison: the picture nearest to a time, cut to the swimmer and turned
// to swim to the right, with what is drawn on it.

import { nearest, placesOf } from "./phase_axis.js";
import { PictureStore, readCut } from "./phase_pictures.js";
import { ask } from "./server.js";

/** @typedef {import("./phase_axis.js").Kick} Kick */
/** @typedef {import("./compare.js").Run} Run */

// How long a film rests before its picture is shown sharp, ms.
const rest = 120;

/**
 * The whole px around a window and where the window lies in them, as parts of its size:
 * pictures are cut at whole px, and without this the film would tremble.
 * @param {number} left px
 * @param {number} top px
 * @param {number} width px
 * @param {number} height px
 */
export function wholePx(left, top, width, height) {
  const x = Math.floor(left);
  const y = Math.floor(top);
  const w = Math.max(1, Math.ceil(left + width) - x);
  const h = Math.max(1, Math.ceil(top + height) - y);
  return {
    x,
    y,
    w,
    h,
    dx: (x - left) / width,
    dy: (y - top) / height,
    dw: w / width,
    dh: h / height,
  };
}

export class Film {
  /**
   * @param {HTMLElement} root
   * @param {Run} run
   * @param {number} aspect width to height of the window
   * @param {() => void} came a picture arrived
   */
  constructor(root, run, aspect, came) {
    this.root = root;
    this.run = run;
    this.aspect = aspect;
    this.box = /** @type {HTMLElement} */ (root.querySelector("[data-window]"));
    this.canvas = /** @type {HTMLCanvasElement} */ (root.querySelector("canvas"));
    this.drawn = /** @type {HTMLElement} */ (root.querySelector("[data-drawn]"));
    this.clock = /** @type {HTMLElement} */ (root.querySelector("[data-clock]"));
    /** @type {Kick[]} */
    this.kicks = [];
    this.width = 0;
    this.place = 0;
    this.turn = 0;
    this.timer = 0;
    /** @type {{ place: number, picture: ImageBitmap } | null} */
    this.sharp = null;
    /** @type {string[]} */
    this.layers = [];
    /** @type {Map<string, Map<number, Element> | null>} */
    this.scenes = new Map();
    /** @type {ImageBitmap | null} */
    this.painted = null;
    this.store = new PictureStore((key, signal) => this.read(Number(key), this.width, signal), {
      fresh: (p) => p.width >= this.width,
      changed: () => {
        if (this.best() !== this.painted) this.paint();
        came();
      },
    });
    this.resize();
  }

  /** Bytes of the decoded pictures that are kept. */
  bytes() {
    const p = this.sharp?.picture;
    return this.store.bytes + (p ? 4 * p.width * p.height : 0);
  }

  /** Fits the canvas to its place on the page. */
  resize() {
    const dpr = window.devicePixelRatio || 1;
    const width = Math.max(1, Math.round(this.box.clientWidth * dpr));
    if (width === this.canvas.width) return;
    this.canvas.width = width; // clears it
    this.canvas.height = Math.round(width / this.aspect);
    this.painted = null;
    this.paint();
  }

  /**
   * Takes the kicks that are shown, one per turn.
   * @param {Kick[]} kicks
   */
  take(kicks) {
    this.kicks = kicks;
    this.readScenes();
  }

  /** @param {number} place */
  key(place) {
    return String(place);
  }

  /** The best picture of the place that is there, null for none. */
  best() {
    if (this.sharp?.place === this.place) return this.sharp.picture;
    return this.store.at(this.key(this.place)) ?? null;
  }

  /**
   * Says which pictures are wanted: this turn's from the phase on, then from its
   * beginning, then those of the next turn.
   * @param {number} turn
   * @param {number} phase
   * @param {number} width px
   */
  want(turn, phase, width) {
    this.width = width;
    // Pictures that are too large now go at once, so that the bound holds on the way.
    for (const [key, p] of [...this.store.kept]) if (p.width > 1.1 * width) this.store.drop(key);
    const { times } = this.run;
    const now = placesOf(times, this.kicks[turn]);
    const from = Math.floor(phase * now.length);
    const list = [...now.slice(from), ...now.slice(0, from)];
    if (this.kicks.length > 1)
      list.push(...placesOf(times, this.kicks[(turn + 1) % this.kicks.length]));
    this.store.want([...new Set(list)].map((p) => this.key(p)));
  }

  /** @param {number} place */
  window(place) {
    const { run } = this;
    const width = run.w[place] * run.shrink;
    const height = width / this.aspect;
    const left = run.x[place] * run.shrink - width / 2;
    const top = run.y[place] * run.shrink - height / 2;
    return wholePx(left, top, width, height);
  }

  /**
   * @param {number} place
   * @param {number} width px
   * @param {AbortSignal} [signal]
   */
  read(place, width, signal) {
    const c = this.window(place);
    const cut = {
      address: `${this.run.pictures}${this.run.frames[place]}.jpg`,
      x: c.x,
      y: c.y,
      width: c.w,
      height: c.h,
    };
    return readCut(cut, Math.round(width * c.dw), Math.round((width / this.aspect) * c.dh), signal);
  }

  /**
   * Shows the picture nearest to a time; false where it is not there yet.
   * @param {number} t s
   * @param {number} turn
   * @returns {boolean}
   */
  show(t, turn) {
    this.turn = turn;
    this.place = nearest(this.run.times, t);
    this.clock.textContent = `${t.toFixed(2)} s`;
    return this.paint();
  }

  /** Paints the picture of the place; false where it is not there yet. */
  paint() {
    const picture = this.best();
    if (!picture) this.box.dataset.waits = "";
    else if (picture !== this.painted) this.put(picture);
    return picture !== null;
  }

  /** @param {ImageBitmap} picture */
  put(picture) {
    const { canvas } = this;
    const ctx = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
    const c = this.window(this.place);
    ctx.setTransform(1, 0, 0, 1, 0, 0);
    ctx.clearRect(0, 0, canvas.width, canvas.height);
    if (this.run.mirror) ctx.setTransform(-1, 0, 0, 1, canvas.width, 0);
    ctx.drawImage(
      picture,
      c.dx * canvas.width,
      c.dy * canvas.height,
      c.dw * canvas.width,
      c.dh * canvas.height,
    );
    this.painted = picture;
    canvas.dataset.frame = String(this.run.frames[this.place]);
    canvas.dataset.time = this.run.times[this.place].toFixed(6);
    delete this.box.dataset.waits;
    this.putScene();
  }

  sharpenSoon() {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => this.sharpen(), rest);
  }

  /** Shows the picture at rest as sharp as the film is, where it was made smaller. */
  async sharpen() {
    const { place } = this;
    if (this.width >= this.canvas.width || this.sharp?.place === place) return;
    try {
      const picture = await this.read(place, this.canvas.width);
      const old = this.sharp;
      this.sharp = { place, picture };
      old?.picture.close();
      if (this.place === place) this.put(picture);
    } catch {
      // The smaller picture stays.
    }
  }

  /**
   * Draws these layers on the film.
   * @param {string[]} layers
   */
  draw(layers) {
    this.layers = layers;
    this.scenes.clear();
    this.drawn.replaceChildren();
    this.readScenes();
  }

  /** @param {Kick | undefined} k */
  sceneKey(k) {
    return k ? `${k.number}` : "";
  }

  /** Reads what is drawn on the pictures of the kicks shown. */
  readScenes() {
    for (const k of this.layers.length > 0 ? this.kicks : []) {
      const key = this.sceneKey(k);
      if (this.scenes.has(key)) continue;
      this.scenes.set(key, null);
      this.readScene(key, k);
    }
    this.putScene();
  }

  /**
   * @param {string} key
   * @param {Kick} k
   */
  async readScene(key, k) {
    const layers = this.layers.join(",");
    const address = `${this.drawn.dataset.drawn}&kick=${k.number}&layers=${encodeURIComponent(layers)}`;
    try {
      const answer = await ask(address);
      if (layers !== this.layers.join(",")) return; // switched meanwhile
      /** @type {Map<number, Element>} */
      const scenes = new Map();
      for (const s of answer.scenes) {
        const made = document.createElement("div");
        made.innerHTML = s.svg;
        if (made.firstElementChild) scenes.set(s.frame, made.firstElementChild);
      }
      this.scenes.set(key, scenes);
      this.putScene();
    } catch {
      this.scenes.delete(key);
    }
  }

  /** Puts what is drawn on the picture shown over it. */
  putScene() {
    const frame = Number(this.canvas.dataset.frame ?? -1);
    const scene =
      this.layers.length > 0
        ? this.scenes.get(this.sceneKey(this.kicks[this.turn]))?.get(frame)
        : undefined;
    if (scene) this.drawn.replaceChildren(scene);
    else this.drawn.replaceChildren();
  }
}
