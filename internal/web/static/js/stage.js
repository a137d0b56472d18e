// @ts-check
// The picture on the screen: canvas, zoom, pan, loupe and pointer. It knows
// nothing of landmarks; it reports clicks and drags in picture px.

import { distance } from "./measure.js";
import { fit, keepInside, panBy, pinch, reveal, toPicture, toScreen, zoomAt } from "./view.js";

/** @typedef {import("./view.js").View} View */
/** @typedef {import("./view.js").Point} Point */
/** @typedef {import("./view.js").Size} Size */

/**
 * @typedef {object} StageEvents all points in picture px
 * @property {() => void} redraw the view changed
 * @property {(at: Point, reach: number) => string | null} grab what a press at a point takes hold of, if anything; reach in picture px
 * @property {(held: string, at: Point, done: boolean) => void} drag something held is moved
 * @property {(at: Point, held: string | null) => void} click
 * @property {(shown: boolean, left: boolean) => void} loupe the loupe came or went; left: it stands at the left
 */

/** How far a press may move and still be a click, CSS px. */
const steady = 4;

export class Stage {
  /**
   * @param {HTMLElement} root
   * @param {Size} picture px
   * @param {StageEvents} events
   */
  constructor(root, picture, events) {
    this.root = root;
    this.picture = picture;
    this.events = events;
    this.canvas = /** @type {HTMLCanvasElement} */ (root.querySelector("canvas.picture"));
    this.overlay = /** @type {Element} */ (root.querySelector("svg.overlay"));
    this.loupe = /** @type {HTMLCanvasElement} */ (root.querySelector("canvas.loupe"));
    /** @type {HTMLImageElement | null} */
    this.image = null;
    root.style.aspectRatio = `${picture.width} / ${picture.height}`;
    this.size = { width: root.clientWidth, height: root.clientHeight };
    this.view = fit(picture, this.size);
    /** @type {Map<number, Point>} */
    this.down = new Map();
    this.moved = false;
    /** @type {string | null} */
    this.held = null;
    this.start = { x: 0, y: 0 };
    this.listen();
  }

  listen() {
    const on =
      /** @type {<K extends keyof HTMLElementEventMap>(k: K, f: (e: HTMLElementEventMap[K]) => void) => void} */ (
        (k, f) => this.root.addEventListener(k, f)
      );
    on("pointerdown", (e) => this.pressed(e));
    on("pointermove", (e) => this.pointerMoved(e));
    on("pointerup", (e) => this.released(e, true));
    on("pointercancel", (e) => this.released(e, false));
    on("pointerleave", () => this.hideLoupe());
    this.root.addEventListener("wheel", (e) => this.wheeled(e), { passive: false });
    new ResizeObserver(() => this.resized()).observe(this.root);
  }

  resized() {
    const whole = this.view.scale <= fit(this.picture, this.size).scale * 1.001;
    this.size = { width: this.root.clientWidth, height: this.root.clientHeight };
    this.view = whole
      ? fit(this.picture, this.size)
      : keepInside(this.view, this.picture, this.size);
    this.draw();
  }

  /**
   * @param {HTMLImageElement} image
   * @param {Size} picture its size, px
   */
  show(image, picture) {
    this.image = image;
    if (picture !== this.picture) {
      this.picture = picture;
      this.root.style.aspectRatio = `${picture.width} / ${picture.height}`;
      this.view = fit(picture, this.size);
    }
    this.draw();
  }

  whole() {
    this.view = fit(this.picture, this.size);
    this.draw();
  }

  /**
   * @param {number} factor
   * @param {Point} [at] CSS px; the middle of the stage when absent
   */
  zoom(factor, at = { x: this.size.width / 2, y: this.size.height / 2 }) {
    this.view = zoomAt(this.view, factor, at, this.picture, this.size);
    this.draw();
  }

  /** @param {Point} p picture px */
  reveal(p) {
    this.view = reveal(this.view, p, 40, this.picture, this.size);
    this.draw();
  }

  draw() {
    const dpr = window.devicePixelRatio || 1;
    const { width, height } = this.size;
    this.canvas.width = Math.round(width * dpr);
    this.canvas.height = Math.round(height * dpr);
    const ctx = /** @type {CanvasRenderingContext2D} */ (this.canvas.getContext("2d"));
    ctx.setTransform(dpr, 0, 0, dpr, 0, 0);
    if (this.image) {
      const v = this.view;
      ctx.imageSmoothingEnabled = v.scale < 4;
      ctx.drawImage(
        this.image,
        v.left,
        v.top,
        this.picture.width * v.scale,
        this.picture.height * v.scale,
      );
    }
    this.events.redraw();
  }

  /** @param {PointerEvent | WheelEvent} e */
  place(e) {
    const box = this.root.getBoundingClientRect();
    return { x: e.clientX - box.left, y: e.clientY - box.top };
  }

  /** @param {PointerEvent} e */
  pressed(e) {
    if (e.button !== 0) return;
    this.root.setPointerCapture(e.pointerId);
    const s = this.place(e);
    this.down.set(e.pointerId, s);
    if (this.down.size > 1) {
      this.moved = true; // a pinch never places a mark
      this.held = null;
      return;
    }
    this.start = s;
    this.moved = false;
    const reach = (e.pointerType === "touch" ? 22 : 12) / this.view.scale;
    this.held = this.events.grab(toPicture(this.view, s), reach);
  }

  /** @param {PointerEvent} e */
  pointerMoved(e) {
    const s = this.place(e);
    const before = this.down.get(e.pointerId);
    if (before) this.dragged(e.pointerId, before, s);
    this.drawLoupe(s);
  }

  /**
   * @param {number} id
   * @param {Point} before
   * @param {Point} now
   */
  dragged(id, before, now) {
    if (this.down.size === 2) {
      const other = /** @type {Point} */ ([...this.down].find(([k]) => k !== id)?.[1]);
      this.down.set(id, now);
      this.view = pinch(this.view, other, before, now, this.picture, this.size);
      this.draw();
      return;
    }
    this.down.set(id, now);
    if (!this.moved && distance(this.start, now) < steady) return;
    this.moved = true;
    if (this.held) {
      this.events.drag(this.held, toPicture(this.view, now), false);
      return;
    }
    const by = { x: now.x - before.x, y: now.y - before.y };
    this.view = panBy(this.view, by, this.picture, this.size);
    this.draw();
  }

  /**
   * @param {PointerEvent} e
   * @param {boolean} counts
   */
  released(e, counts) {
    const s = this.place(e);
    if (!this.down.delete(e.pointerId) || this.down.size > 0) return;
    const at = toPicture(this.view, s);
    const held = this.held;
    this.held = null;
    if (held && this.moved) this.events.drag(held, at, true);
    else if (counts && !this.moved) this.events.click(toPicture(this.view, this.start), held);
  }

  /** @param {WheelEvent} e */
  wheeled(e) {
    e.preventDefault();
    this.zoom(Math.exp(-e.deltaY * (e.deltaMode === 1 ? 0.05 : 0.0015)), this.place(e));
  }

  hideLoupe() {
    this.loupe.hidden = true;
    this.events.loupe(false, false);
  }

  /** CSS px in the loupe per picture px. */
  get loupeScale() {
    return Math.max(4, this.view.scale * 2);
  }

  /**
   * The surroundings of a point, enlarged, with a cross at the point itself.
   * @param {Point} s CSS px
   */
  drawLoupe(s) {
    if (!this.image) return;
    const l = this.loupe;
    l.hidden = false;
    const left = s.x > this.size.width - 440 && s.y > this.size.height - 220;
    l.classList.toggle("left", left);
    this.events.loupe(true, left);
    const side = 168;
    const dpr = window.devicePixelRatio || 1;
    l.width = l.height = side * dpr;
    const scale = this.loupeScale;
    const p = toPicture(this.view, s);
    const ctx = /** @type {CanvasRenderingContext2D} */ (l.getContext("2d"));
    ctx.setTransform(dpr, 0, 0, dpr, 0, 0);
    ctx.imageSmoothingEnabled = false;
    const w = this.picture.width * scale;
    const h = this.picture.height * scale;
    ctx.drawImage(this.image, side / 2 - p.x * scale, side / 2 - p.y * scale, w, h);
    cross(ctx, side);
  }

  /**
   * Shows the loupe at a picture point, for people who move by keys.
   * @param {Point} p picture px
   */
  loupeAt(p) {
    this.drawLoupe(toScreen(this.view, p));
  }
}

/**
 * The cross in the middle of a loupe.
 * @param {CanvasRenderingContext2D} ctx
 * @param {number} side CSS px
 */
export function cross(ctx, side) {
  const style = getComputedStyle(document.documentElement);
  const m = side / 2;
  for (const [width, colour] of /** @type {[number, string][]} */ ([
    [3, style.getPropertyValue("--film-casing")],
    [1, style.getPropertyValue("--film-chosen")],
  ])) {
    ctx.lineWidth = width;
    ctx.strokeStyle = colour;
    ctx.beginPath();
    for (const [dx, dy] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
    ]) {
      ctx.moveTo(m + dx * 5, m + dy * 5);
      ctx.lineTo(m + dx * 26, m + dy * 26);
    }
    ctx.stroke();
  }
}
