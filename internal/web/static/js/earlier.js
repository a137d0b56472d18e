// @ts-check
// Earlier marks of ankle and toe beside the loupe: parts of other frames, turned
// and sized so that the foot lies as it does on the frame being marked.

import { cross } from "./stage.js";

/** @typedef {[number, number] | number[]} Place picture px */
/** @typedef {{ toe: Place, ankle: Place }} Foot */
/** @typedef {{ clip: string, frame: number, on: string, toe: Place, ankle: Place, left: boolean }} Earlier */
/** @typedef {Foot & { address: string, on: string, mirrored?: boolean }} Found */

/** Side of a part shown, CSS px. */
const side = 120;

/** @param {Foot} foot */
function direction({ toe, ankle }) {
  return Math.atan2(toe[1] - ankle[1], toe[0] - ankle[0]);
}

/** @param {Foot} foot */
function length({ toe, ankle }) {
  return Math.hypot(toe[0] - ankle[0], toe[1] - ankle[1]);
}

/**
 * How far apart two directions are, 0 to pi.
 * @param {number} a rad
 * @param {number} b rad
 * @returns {number}
 */
export function turnBetween(a, b) {
  return Math.abs(Math.atan2(Math.sin(a - b), Math.cos(a - b)));
}

/**
 * At most two frames to compare with, the foot held most alike: one of another run
 * where there is one, and one of this run; a second of another run where this run
 * has none. Frames of a swimmer who swims the other way are mirrored.
 * @param {Earlier[]} others
 * @param {Found[]} own
 * @param {Foot | null} foot on the frame being marked; null when not known
 * @returns {Found[]}
 */
export function alike(others, own, foot) {
  // One frame can mislead: at the end of an upkick the toe may lead the ankle.
  const votes = own.length > 0 || !foot ? own : [foot];
  const toLeft = 2 * votes.filter((f) => f.toe[0] > f.ankle[0]).length > votes.length;
  const far = others.map((e) => ({
    address: `/clip/${e.clip}/frame/${e.frame}.jpg`,
    on: e.on,
    toe: e.toe,
    ankle: e.ankle,
    mirrored: e.left !== toLeft,
  }));
  /** @param {Found[]} list */
  const sorted = (list) => {
    if (!foot) return list;
    const off = (/** @type {Found} */ f) => {
      const d = direction(f);
      return turnBetween(f.mirrored ? Math.PI - d : d, direction(foot));
    };
    return [...list].sort((a, b) => off(a) - off(b));
  };
  const [first, second] = sorted(far);
  const [mine] = sorted(own);
  return [first, mine ?? second].filter(Boolean).slice(0, 2);
}

/**
 * The matrix that lays an earlier picture so that its landmark comes to the middle
 * and its foot has the direction and size of the foot being marked.
 * @param {Found} earlier
 * @param {Foot | null} foot null: neither turned nor sized
 * @param {"toe" | "ankle"} landmark that comes to the middle
 * @param {number} scale CSS px per picture px of the frame being marked
 * @param {number} middle CSS px
 * @returns {[number, number, number, number, number, number]} as of CanvasRenderingContext2D.setTransform
 */
export function layMatrix(earlier, foot, landmark, scale, middle) {
  const flip = earlier.mirrored ? -1 : 1;
  const dx = flip * (earlier.toe[0] - earlier.ankle[0]);
  const dy = earlier.toe[1] - earlier.ankle[1];
  const size = foot ? (scale * length(foot)) / Math.max(length(earlier), 1) : scale;
  const turn = foot ? direction(foot) - Math.atan2(dy, dx) : 0;
  const cos = size * Math.cos(turn);
  const sin = size * Math.sin(turn);
  const [x, y] = earlier[landmark];
  return [
    cos * flip,
    sin * flip,
    -sin,
    cos,
    middle - cos * flip * x + sin * y,
    middle - sin * flip * x - cos * y,
  ];
}

/** Shows the parts and reads their pictures when they are first needed. */
export class EarlierMarks {
  /** @param {HTMLElement} root */
  constructor(root) {
    this.root = root;
    /** @type {Map<string, Promise<HTMLImageElement>>} */
    this.pictures = new Map();
    this.shown = "";
  }

  hide() {
    this.root.hidden = true;
    this.shown = "";
  }

  /**
   * @param {object} what
   * @param {Found[]} what.found
   * @param {Foot | null} what.foot
   * @param {"toe" | "ankle"} what.landmark
   * @param {number} what.scale
   * @param {boolean} what.left
   */
  show({ found, foot, landmark, scale, left }) {
    this.root.classList.toggle("left", left);
    this.root.hidden = found.length === 0;
    const now = JSON.stringify([found, foot, landmark, scale]);
    if (now === this.shown) return;
    this.shown = now;
    this.root.replaceChildren(
      ...found.map((f) => this.part(f, layMatrix(f, foot, landmark, scale, side / 2))),
    );
  }

  /**
   * @param {Found} found
   * @param {[number, number, number, number, number, number]} matrix
   * @returns {HTMLElement}
   */
  part(found, matrix) {
    const canvas = document.createElement("canvas");
    const dpr = window.devicePixelRatio || 1;
    canvas.width = canvas.height = side * dpr;
    const figure = document.createElement("figure");
    const caption = document.createElement("figcaption");
    caption.textContent = found.on;
    figure.append(canvas, caption);
    this.picture(found.address).then(
      (image) => {
        const ctx = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
        ctx.scale(dpr, dpr);
        ctx.save();
        ctx.transform(...matrix);
        ctx.drawImage(image, 0, 0);
        ctx.restore();
        cross(ctx, side);
      },
      () => figure.remove(), // nothing to compare with; marking goes on
    );
    return figure;
  }

  /** @param {string} address */
  picture(address) {
    let picture = this.pictures.get(address);
    if (!picture) {
      const image = new Image();
      image.src = address;
      picture = image.decode().then(() => image);
      this.pictures.set(address, picture);
      if (this.pictures.size > 24) this.pictures.delete([...this.pictures.keys()][0]);
    }
    return picture;
  }
}
