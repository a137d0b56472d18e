// @ts-check
// The guess of a run: two points on one frame start it, a bar shows how far it is.

import { ask, send } from "./server.js";
import { busy } from "./work.js";

/** @typedef {{ x: number, y: number }} Point */
/**
 * @typedef {object} Guess as the server says
 * @property {string} state
 * @property {number} fraction 0 to 1
 * @property {string} words
 * @property {boolean} go_on it can be taken up again
 */

/**
 * What to do next while pointing.
 * @param {number} points how many were pointed at
 * @returns {string}
 */
export function pointingWords(points) {
  return points === 0
    ? "Click the finger tip; Esc leaves."
    : "Now the toe, on the same frame; Esc leaves.";
}

/** Pause between two questions to the server, ms. */
const pause = 500;

/** The guess beside the picture. */
export class GuessPanel {
  /**
   * @param {HTMLElement} box
   * @param {object} page
   * @param {() => number} page.frame on the screen
   * @param {() => void} page.changed the points to draw changed
   * @param {() => void} page.begun clicks on the picture go here from now on
   * @param {(words: string, warn: boolean) => void} page.say
   * @param {() => void} page.ended the guess came to its end; the points on the film may be others
   */
  constructor(box, page) {
    this.box = box;
    this.page = page;
    this.active = false;
    /** @type {Point[]} picture px */
    this.points = [];
    this.frame = -1;
    this.timer = 0;
    this.address = box.dataset.guess ?? "";
    this.state = box.dataset.state ?? "";
    this.words = this.part("words").textContent ?? "";
    this.part("show")?.addEventListener("click", () => this.begin());
    this.part("on")?.addEventListener("click", () => void this.tell("-on", {}));
    this.part("stop")?.addEventListener("click", () => void this.tell("-stop", {}));
    if (busy(this.state)) this.follow();
  }

  /** @param {string} name @returns {any} */
  part(name) {
    return this.box.querySelector(`[data-guess-${name}]`);
  }

  begin() {
    if (!this.part("show")) return;
    this.active = !this.active;
    this.points = [];
    if (this.active) this.page.begun();
    this.refresh();
  }

  leave() {
    if (!this.active) return;
    this.active = false;
    this.points = [];
    this.refresh();
  }

  /**
   * Takes a click on the picture: the finger tip, then the toe on the same frame.
   * @param {Point} p picture px
   */
  click(p) {
    if (this.frame !== this.page.frame()) this.points = [];
    this.frame = this.page.frame();
    this.points.push(p);
    if (this.points.length === 2) {
      const [tip, toe] = this.points.map((q) => [q.x, q.y]);
      this.active = false;
      void this.tell("", { frame: this.frame, fingertip_px: tip, toe_px: toe });
    }
    this.refresh();
  }

  /** What to draw on a frame. @param {number} frame @returns {Point[]} picture px */
  drawn(frame) {
    return this.active && frame === this.frame ? this.points : [];
  }

  /**
   * @param {string} what end of the address
   * @param {unknown} body
   */
  async tell(what, body) {
    try {
      this.show(await send(this.address + what, body));
    } catch (problem) {
      this.page.say(/** @type {Error} */ (problem).message, true);
      this.points = [];
      this.refresh();
    }
  }

  /** Asks again after a pause; one question waits at a time. */
  follow() {
    clearTimeout(this.timer);
    this.timer = Number(
      setTimeout(async () => {
        try {
          this.show(await ask(`${this.address}.json`));
        } catch {
          this.follow(); // the program is away for a moment, or for good: the words stay
        }
      }, pause),
    );
  }

  /** @param {Guess} guess */
  show(guess) {
    const was = this.state;
    this.state = guess.state;
    this.words = guess.words;
    this.part("progress").value = guess.fraction;
    this.part("on").hidden = !guess.go_on;
    this.refresh();
    if (busy(guess.state)) this.follow();
    else if (was !== guess.state || guess.state === "ready") {
      this.page.say(guess.words, guess.state === "failed");
      this.page.ended();
    }
  }

  refresh() {
    const going = busy(this.state);
    this.part("words").textContent = this.active ? pointingWords(this.points.length) : this.words;
    this.part("progress").hidden = !going;
    if (this.part("stop")) this.part("stop").hidden = !going;
    const show = this.part("show");
    if (show) {
      show.setAttribute("aria-pressed", String(this.active));
      show.classList.toggle("chosen", this.active);
    }
    this.box.dataset.state = this.state;
    this.page.changed();
  }
}
