// @ts-check
// Placing marks on pictures by pointer and by keys: what every page of marking has in
// common. A page says what stands on its pictures and what follows a mark.

import { EarlierMarks } from "./earlier.js";
import { commandOf } from "./keys.js";
import { nearest } from "./measure.js";
import { drawPoints, hand } from "./overlay.js";
import { say } from "./panel.js";
import { SavingLine } from "./saving.js";
import { send } from "./server.js";
import { Stage } from "./stage.js";
import { toPicture, withinPicture } from "./view.js";

/** @typedef {import("./view.js").Point} Point */
/** @typedef {import("./view.js").Size} Size */
/** @typedef {import("./points.js").Shown} Shown */
/** @typedef {import("./keys.js").Command} Command */
/** @typedef {import("./points.js").Action} Action */

/** @param {string} selector @returns {any} */
export const find = (selector) => document.querySelector(selector);

/** A nudged mark is sent when no key has moved it for so long, ms. */
const nudgeRest = 600;

export class Placing {
  /**
   * @param {object} means
   * @param {{ id: string, key: string }[]} means.landmarks in marking order
   * @param {Size} means.picture px
   * @param {import("./pictures.js").Pictures} means.pictures
   * @param {string} means.marks address that takes actions
   */
  constructor({ landmarks, picture, pictures, marks }) {
    this.keys = Object.fromEntries(landmarks.map((l) => [l.key, l.id]));
    this.landmarks = landmarks.map((l) => l.id);
    this.chosen = this.landmarks[0];
    this.picture = picture;
    this.pictures = pictures;
    /** index of the picture shown, within pictures */
    this.place = 0;
    /** the picture of this place is on the screen */
    this.ready = false;
    /** @type {Point | null} where arrow keys have moved the cross, picture px */
    this.hand = null;
    /** @type {{ landmark: string, x: number, y: number } | null} a mark being dragged or nudged, not sent yet */
    this.moving = null;
    this.nudgeTimer = 0;
    this.saving = new SavingLine({
      send: (/** @type {Action} */ action) => send(marks, this.toSend(action)),
      saved: (answer, left) => this.saved(answer, left),
      failed: (problem, ms) => this.notSaved(problem, ms),
    });
    this.earlier = new EarlierMarks(find(".earlier"));
    this.stage = new Stage(find(".stage"), picture, {
      redraw: () => this.drawOverlay(),
      grab: (at, reach) => this.grab(at, reach),
      drag: (held, at, done) => this.drag(held, at, done),
      click: (at, held) => this.click(at, held),
      loupe: (shown, left) => this.showEarlier(shown, left),
    });
  }

  /**
   * The points on the picture shown, as saved or as sent.
   * @returns {Shown[]}
   */
  shown() {
    return [];
  }

  /** The landmarks to go through, in order. */
  get order() {
    return this.landmarks;
  }

  /** What a frame is called in a message. */
  get frame() {
    return this.place;
  }

  /** Pointer and cross set something else than marks. */
  get pointing() {
    return false;
  }

  /**
   * Obeys a command that leads to another picture, or one that this page alone knows.
   * @param {Command} _c
   * @returns {boolean} false: not one of those
   */
  goes(_c) {
    return false;
  }

  /** What follows a mark where none was: nothing. */
  placed() {}

  /**
   * What an action is sent as, at the moment of sending.
   * @param {Action} action
   * @returns {object}
   */
  toSend(action) {
    return action;
  }

  /**
   * Earlier marks beside the loupe: none.
   * @param {boolean} _shown
   * @param {boolean} _left the loupe stands at the left
   */
  showEarlier(_shown, _left) {
    this.earlier.hide();
  }

  points() {
    const points = this.shown();
    const m = this.moving;
    if (!m) return points;
    const rest = points.filter((p) => p.landmark !== m.landmark);
    return [...rest, { ...m, marked: true, saved: false, sd: 0 }];
  }

  /** @param {string} landmark */
  isMarked(landmark) {
    return this.points().some((p) => p.marked && p.landmark === landmark);
  }

  /** On a narrow screen the page only shows. */
  get onlyShows() {
    return window.matchMedia("(max-width: 44rem)").matches;
  }

  listen() {
    document.addEventListener("keydown", (e) => this.keyPressed(e));
    document.addEventListener("keyup", () => this.finishNudge());
    for (const b of document.querySelectorAll("button[data-do]")) {
      b.addEventListener("click", () => this.run(JSON.parse(b.getAttribute("data-do") ?? "null")));
    }
    for (const b of document.querySelectorAll("button[data-choose]")) {
      b.addEventListener("click", () => this.choose(b.getAttribute("data-choose") ?? ""));
    }
    find("#retry").addEventListener("click", () => this.saving.retry());
    window.addEventListener("beforeunload", (e) => {
      this.finishNudge();
      if (this.saving.left > 0) e.preventDefault();
    });
  }

  /** @param {KeyboardEvent} e */
  keyPressed(e) {
    const target = /** @type {HTMLElement} */ (e.target);
    if (find("dialog").open) return;
    if (target.matches("input:not([type=radio]), select, textarea")) {
      if (e.key === "Escape" || (e.key === "Enter" && target.id === "frame")) target.blur();
      return;
    }
    const presses = e.key === "Enter" || e.key === " ";
    if (presses && target.matches("button, a, summary, input")) return;
    if (e.key.startsWith("Arrow") && target.matches("input")) return;
    const command = commandOf(e, this.keys);
    if (!command) return;
    e.preventDefault();
    this.run(command);
  }

  /** @param {Command} c */
  run(c) {
    if (c.do !== "nudge") this.finishNudge();
    if (this.goes(c)) return;
    switch (c.do) {
      case "choose":
        return this.choose(c.landmark);
      case "next-landmark":
        return this.chooseBy(1);
      case "previous-landmark":
        return this.chooseBy(-1);
      case "nudge":
        return this.nudge(c);
      case "place":
        return this.placeAtHand();
      case "delete":
        return this.remove();
      case "undo":
      case "redo":
        return this.act(c.do, { x: 0, y: 0 });
      case "zoom":
        return this.stage.zoom(c.factor);
      case "fit":
        return this.stage.whole();
      case "keys":
        return find("dialog").showModal();
      case "leave":
        return this.leave();
    }
  }

  /**
   * Goes to a picture, the nearest there is.
   * @param {number} wanted place
   */
  async go(wanted) {
    const place = Math.min(Math.max(wanted, 0), this.pictures.count - 1);
    this.place = place;
    this.hand = null;
    find(".waiting").hidden = false;
    // Points must never stand on another frame's picture, so the old ones go first.
    this.stage.overlay.replaceChildren();
    this.ready = false;
    try {
      const image = await this.pictures.at(place);
      if (place !== this.place) return;
      this.ready = true;
      find(".waiting").hidden = true;
      this.stage.show(image, this.picture);
      this.pictures.around(place);
    } catch {
      if (place !== this.place) return;
      say(`Frame ${this.frame} cannot be read. Step on, or try again.`, true);
    }
    this.refresh();
  }

  /** @param {string} landmark */
  choose(landmark) {
    this.chosen = landmark;
    this.hand = null;
    this.refresh();
  }

  /** @param {number} by */
  chooseBy(by) {
    const n = this.order.length;
    this.choose(this.order[(this.order.indexOf(this.chosen) + by + n) % n]);
  }

  /**
   * @param {Point} at picture px
   * @param {number} reach picture px
   * @returns {string | null} the mark under the pointer, or the chosen landmark's filled-in point
   */
  grab(at, reach) {
    this.finishNudge();
    if (!this.ready || this.onlyShows) return null;
    const free = this.points().filter((p) => p.marked || p.landmark === this.chosen);
    const i = nearest(free, at, reach);
    return i < 0 ? null : free[i].landmark;
  }

  /**
   * @param {string} held
   * @param {Point} at
   * @param {boolean} done
   */
  drag(held, at, done) {
    if (this.chosen !== held) this.choose(held);
    this.moving = { landmark: held, ...withinPicture(at, this.picture) };
    if (done) this.commitMove();
    else this.drawOverlay();
  }

  /**
   * @param {Point} at
   * @param {string | null} held a mark under the pointer
   */
  click(at, held) {
    if (!this.ready || this.onlyShows) return;
    if (held && this.isMarked(held) && (held === this.chosen || this.isMarked(this.chosen))) {
      return this.choose(held);
    }
    this.put(withinPicture(at, this.picture));
  }

  /**
   * Places the chosen landmark.
   * @param {Point} p picture px
   * @param {"place" | "accept"} [what]
   */
  put(p, what = "place") {
    const wasMarked = this.isMarked(this.chosen);
    this.act(what, p);
    if (!wasMarked) this.placed();
  }

  /** @param {{ x: number, y: number }} by picture px */
  nudge(by) {
    if (!this.ready) return;
    const mark = this.points().find((p) => p.marked && p.landmark === this.chosen);
    const from = this.pointing || !mark ? this.handPlace() : mark;
    const p = withinPicture({ x: from.x + by.x, y: from.y + by.y }, this.picture);
    if (mark && !this.pointing) {
      this.moving = { landmark: this.chosen, ...p };
      clearTimeout(this.nudgeTimer);
      this.nudgeTimer = Number(setTimeout(() => this.finishNudge(), nudgeRest));
    } else {
      this.hand = p;
    }
    this.stage.reveal(p);
    this.stage.loupeAt(p);
  }

  /** Where the cross starts: at the point that stands there, else in the middle of what is seen. */
  handPlace() {
    if (this.hand) return this.hand;
    const point = this.points().find((p) => p.landmark === this.chosen);
    if (point && !this.pointing) return { x: point.x, y: point.y };
    const { width, height } = this.stage.size;
    return withinPicture(toPicture(this.stage.view, { x: width / 2, y: height / 2 }), this.picture);
  }

  placeAtHand() {
    if (this.ready && !this.isMarked(this.chosen)) this.put(this.handPlace());
  }

  finishNudge() {
    clearTimeout(this.nudgeTimer);
    if (this.moving && this.stage.held === null) this.commitMove();
  }

  commitMove() {
    const m = this.moving;
    this.moving = null;
    if (m) this.send("place", m.landmark, m);
  }

  remove() {
    if (this.isMarked(this.chosen)) this.act("delete", { x: 0, y: 0 });
  }

  /**
   * @param {Action["do"]} what
   * @param {Point} p picture px
   */
  act(what, p) {
    this.send(what, this.chosen, p);
  }

  /**
   * @param {Action["do"]} what
   * @param {string} landmark
   * @param {Point} p picture px
   */
  send(what, landmark, p) {
    this.hand = null;
    this.saving.add(this.onThis({ do: what, landmark, x_px: p.x, y_px: p.y }));
    say("Saving", false);
    this.refresh();
  }

  /**
   * An action, with the picture it is about.
   * @param {Action} action
   * @returns {Action}
   */
  onThis(action) {
    return action;
  }

  /**
   * @param {any} _answer
   * @param {number} left
   */
  saved(_answer, left) {
    find("#retry").hidden = true;
    say(left === 0 ? "Saved" : `Saving, ${left} to go`, false);
    this.refresh();
  }

  /**
   * @param {Error} problem
   * @param {number} nextTryMs
   */
  notSaved(problem, nextTryMs) {
    find("#retry").hidden = nextTryMs === 0;
    const then =
      nextTryMs === 0
        ? "The last step was not kept."
        : `${this.saving.left} not saved yet; trying again in ${Math.round(nextTryMs / 1000)} s.`;
    say(`${problem.message} ${then}`, true);
    this.refresh();
  }

  leave() {
    this.hand = null;
    this.stage.hideLoupe();
    this.drawOverlay();
  }

  refresh() {
    this.drawOverlay();
  }

  drawOverlay() {
    if (!this.ready) return;
    const { view, overlay } = this.stage;
    drawPoints(overlay, view, this.points(), this.chosen);
    if (this.hand) overlay.append(...hand(view, this.hand));
  }
}
