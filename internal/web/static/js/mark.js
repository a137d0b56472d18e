// @ts-check
// The marking page: ties picture, points, keys and saving together.

import { drawCourse, placeAt } from "./course.js";
import { alike, EarlierMarks } from "./earlier.js";
import { GuessPanel } from "./guess.js";
import { commandOf } from "./keys.js";
import { LensForm } from "./lens.js";
import { nearest, nextUnmarked } from "./measure.js";
import { frameFor, leftOf, listed } from "./next.js";
import { drawPoints, hand, scalePoints } from "./overlay.js";
import { say, showPanel } from "./panel.js";
import { Pictures } from "./pictures.js";
import { markedFrame, pointsOn, withWaiting } from "./points.js";
import { SavingLine } from "./saving.js";
import { ScaleForm } from "./scale.js";
import { ask, send } from "./server.js";
import { Stage } from "./stage.js";
import { toPicture, withinPicture } from "./view.js";

/** @typedef {import("./view.js").Point} Point */
/** @typedef {import("./points.js").Marks} Marks */
/** @typedef {import("./saving.js").MarkAction} MarkAction */
/** @typedef {{ id: string, key: string, needed: boolean }} LandmarkInfo */
/**
 * @typedef {object} MarkingData what the server says of the run
 * @property {{ n: number, t: number }[]} frames n: index within the clip; t: presentation time, s
 * @property {number} width picture px
 * @property {number} height picture px
 * @property {LandmarkInfo[]} landmarks in marking order
 * @property {Marks} marks
 * @property {import("./earlier.js").Earlier[] | null} earlier ankle and toe marks of the swimmer's other runs
 */

/** @param {string} selector @returns {any} */
const find = (selector) => document.querySelector(selector);

class MarkingPage {
  /**
   * @param {HTMLElement} root
   * @param {MarkingData} data
   */
  constructor(root, data) {
    this.root = root;
    this.data = data;
    this.marks = data.marks;
    this.frames = data.frames.map((f) => f.n);
    this.order = data.landmarks.map((l) => l.id);
    this.keys = Object.fromEntries(data.landmarks.map((l) => [l.key, l.id]));
    this.chosen = this.order[0];
    this.place = this.firstPlace();
    /** @type {Point | null} where arrow keys have moved the cross, picture px */
    this.hand = null;
    /** @type {{ landmark: string, x: number, y: number } | null} a mark being dragged or nudged, not sent yet */
    this.moving = null;
    this.nudgeTimer = 0;
    /** @type {{ frame: number, landmarks: string[] } | null} what was asked for and went to last */
    this.ask = null;
    /** @type {Set<number>} frames asked for that could not be marked */
    this.refused = new Set();
    this.goesOnWhenSaved = false;
    this.picture = { width: data.width, height: data.height };
    const base = root.dataset.frames ?? "";
    this.pictures = new Pictures((p) => `${base}${this.frames[p]}.jpg`, this.frames.length);
    this.saving = new SavingLine({
      send: (action) => send(root.dataset.marks ?? "", { ...action, seq: this.marks.seq }),
      saved: (answer, left) => this.saved(answer, left),
      failed: (problem, ms) => this.notSaved(problem, ms),
    });
    this.stage = new Stage(find(".stage"), this.picture, {
      redraw: () => this.drawOverlay(),
      grab: (at, reach) => this.grab(at, reach),
      drag: (held, at, done) => this.drag(held, at, done),
      click: (at, held) => this.click(at, held),
      loupe: (shown, left) => this.showEarlier(shown, left),
    });
    this.earlier = new EarlierMarks(find(".earlier"));
    this.scale = new ScaleForm(
      find("form.scale"),
      () => this.drawOverlay(),
      () => this.frame,
    );
    this.lens = new LensForm(find("form.lens"), {
      changed: () => this.drawOverlay(),
      begun: () => this.takesClicks(this.lens),
    });
    this.scale.start.addEventListener("click", () => this.takesClicks(this.scale));
    this.guess = new GuessPanel(find(".guess"), {
      frame: () => this.frame,
      changed: () => this.drawOverlay(),
      begun: () => this.takesClicks(this.guess),
      say,
      ended: () => void this.lookAgain(),
    });
    this.listen();
    this.choose(this.chosen);
    void this.go(this.place);
  }

  /**
   * Clicks on the picture go to one of the forms at a time.
   * @param {ScaleForm | LensForm | GuessPanel} form
   */
  takesClicks(form) {
    for (const other of [this.scale, this.lens, this.guess]) {
      if (other !== form) other.leave();
    }
  }

  /** The frame named in the address, or the first of the run. */
  firstPlace() {
    const wanted = Number(new URLSearchParams(location.search).get("frame") ?? "NaN");
    return Math.max(0, this.frames.indexOf(wanted));
  }

  get frame() {
    return this.frames[this.place];
  }

  /** Every mark as the person expects it, saved or not. */
  get standing() {
    return withWaiting(this.marks.marks ?? [], this.saving?.waiting ?? []);
  }

  points() {
    const points = pointsOn(this.standing, this.marks.traces ?? {}, this.frame);
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
    for (const b of document.querySelectorAll("button[data-take-frame]")) {
      b.addEventListener("click", () => {
        find(`#${b.getAttribute("data-take-frame")}`).value = String(this.frame);
      });
    }
    find("#frame").addEventListener("change", (/** @type {Event} */ e) => {
      const wanted = Number(/** @type {HTMLInputElement} */ (e.target).value);
      const place = this.frames.indexOf(wanted);
      void this.go(place >= 0 ? place : this.place);
    });
    find(".course").addEventListener("click", (/** @type {MouseEvent} */ e) => {
      const box = find(".course").getBoundingClientRect();
      void this.go(placeAt(e.clientX - box.left, box.width, this.frames.length));
    });
    find("#retry").addEventListener("click", () => this.saving.retry());
    window.addEventListener("resize", () => this.drawCourse());
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

  /** @param {import("./keys.js").Command} c */
  run(c) {
    if (c.do !== "nudge") this.finishNudge();
    switch (c.do) {
      case "step":
        return void this.go(this.place + c.by);
      case "end":
        return void this.go(c.last ? this.frames.length - 1 : 0);
      case "marked":
        return this.goToMarked(c.by);
      case "next-frame":
        return this.goToNext();
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
      case "guess":
        return this.guess.begin();
      case "keys":
        return find("dialog").showModal();
      case "leave":
        return this.leave();
    }
  }

  /** @param {number} place */
  async go(place) {
    this.place = Math.min(Math.max(place, 0), this.frames.length - 1);
    this.hand = null;
    const wanted = this.place;
    find("#frame").value = String(this.frame);
    find("#time").textContent = `${this.data.frames[wanted].t.toFixed(3)} s`;
    find("#where").textContent = `${wanted + 1} of ${this.frames.length}`;
    find(".waiting").hidden = false;
    // Points must never stand on another frame's picture, so the old ones go first.
    this.stage.overlay.replaceChildren();
    this.ready = false;
    try {
      const image = await this.pictures.at(wanted);
      if (wanted !== this.place) return;
      this.ready = true;
      find(".waiting").hidden = true;
      this.stage.show(image);
      void this.scale.lookAtGrid();
      this.pictures.around(wanted);
    } catch {
      if (wanted !== this.place) return;
      say(`Frame ${this.frame} cannot be read. Step on, or try again.`, true);
    }
    this.refresh();
  }

  /** @param {number} by */
  goToMarked(by) {
    const frame = markedFrame(this.standing, this.frame, by);
    if (frame !== null) void this.go(this.frames.indexOf(frame));
  }

  /**
   * Goes to the frame that would help most. Pressed again on a frame of which
   * nothing was marked, it takes that one as not to be marked and goes elsewhere.
   */
  goToNext() {
    if (this.saving.left > 0) {
      this.goesOnWhenSaved = true; // the best frame hangs on the marks just made
      return;
    }
    const next = this.marks.next;
    if (!next) return;
    if (this.ask?.frame === this.frame && this.askedLeft().length === this.ask.landmarks.length) {
      this.refused.add(this.frame);
    }
    const near = Math.max(2, Math.round(this.frames.length / 100));
    const place = this.frames.indexOf(frameFor(next, this.refused, near));
    if (place < 0) return;
    this.ask = { frame: this.frames[place], landmarks: next.landmarks };
    void this.go(place).then(() => {
      // Beyond the marks of a landmark no point says where it may lie.
      if (this.ready && !this.filledIn()) this.stage.whole();
      else this.reveal();
    });
    this.choose(this.askedLeft()[0] ?? this.chosen);
  }

  /** Asks for what stands on the film, which a guess has changed. */
  async lookAgain() {
    try {
      const data = await ask(this.root.dataset.marking ?? "");
      if (this.saving.left === 0) this.marks = data.marks;
    } catch {
      return; // the next mark brings the same
    }
    this.refresh();
  }

  /** Brings the filled-in point of the chosen landmark into view where the picture is enlarged. */
  reveal() {
    const point = this.filledIn();
    if (this.ready && point) this.stage.reveal(point);
  }

  /** What is still to be marked of what was asked for, on the frame shown. */
  askedLeft() {
    if (this.ask?.frame !== this.frame) return [];
    const here = this.standing.filter((m) => m.frame === this.frame).map((m) => m.landmark);
    return leftOf(this.ask, (l) => here.includes(l));
  }

  /** The words beside the button: what to do here, or why the next frame. */
  nextWords() {
    const left = this.askedLeft();
    if (left.length > 0) return `Mark ${listed(left)} on this frame.`;
    return this.marks.next?.why ?? "";
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
    if (this.guess.active) return null;
    if (this.setting) return this.setting.grab(at, reach);
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
    const p = withinPicture(at, this.picture);
    if (this.setting) return this.setting.drag(held, p);
    if (this.chosen !== held) this.choose(held);
    this.moving = { landmark: held, ...p };
    if (done) this.commitMove();
    else this.drawOverlay();
  }

  /**
   * @param {Point} at
   * @param {string | null} held a mark under the pointer
   */
  click(at, held) {
    if (!this.ready || this.onlyShows) return;
    const p = withinPicture(at, this.picture);
    if (this.guess.active) return this.guess.click(p);
    if (this.setting) return this.setting.click(p);
    if (held && this.isMarked(held) && (held === this.chosen || this.isMarked(this.chosen))) {
      return this.choose(held);
    }
    this.placeChosen(p);
  }

  /** The landmarks that marking goes through: those needed, and those marked anywhere. */
  inUse() {
    const marked = new Set(this.standing.map((m) => m.landmark));
    return this.data.landmarks.filter((l) => l.needed || marked.has(l.id)).map((l) => l.id);
  }

  /**
   * @param {Point} p picture px
   * @param {"place" | "accept"} [what]
   */
  placeChosen(p, what = "place") {
    const wasMarked = this.isMarked(this.chosen);
    this.act(what, p);
    if (wasMarked || !find("#go-on").checked) return;
    const asked = this.ask?.frame === this.frame ? this.ask.landmarks : this.inUse();
    this.choose(nextUnmarked(asked, this.chosen, (l) => this.isMarked(l)));
    this.reveal();
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
      this.nudgeTimer = Number(setTimeout(() => this.finishNudge(), 600));
    } else {
      this.hand = p;
    }
    this.stage.reveal(p);
    this.stage.loupeAt(p);
  }

  /** The form whose points are being set on the picture. */
  get setting() {
    if (this.scale.active) return this.scale;
    return this.lens.active ? this.lens : null;
  }

  /** Clicks go to the scale, the lens or the guess, not to marks. */
  get pointing() {
    return this.setting !== null || this.guess.active;
  }

  /** The filled-in point of the chosen landmark on the frame shown. */
  filledIn() {
    return this.points().find((p) => p.landmark === this.chosen && !p.marked);
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
    if (!this.ready) return;
    const p = this.handPlace();
    if (this.guess.active) return this.guess.click(p);
    if (this.setting) return this.setting.click(p);
    if (this.isMarked(this.chosen)) return;
    this.placeChosen(p, !this.hand && this.filledIn() ? "accept" : "place");
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
   * @param {MarkAction["do"]} what
   * @param {Point} p picture px
   */
  act(what, p) {
    this.send(what, this.chosen, p);
  }

  /**
   * @param {MarkAction["do"]} what
   * @param {string} landmark
   * @param {Point} p picture px
   */
  send(what, landmark, p) {
    this.hand = null;
    this.saving.add({
      do: what,
      frame: this.frame,
      landmark,
      x_px: p.x,
      y_px: p.y,
      seq: this.marks.seq,
    });
    say("Saving", false);
    this.refresh();
  }

  /**
   * @param {Marks} answer
   * @param {number} left
   */
  saved(answer, left) {
    this.marks = answer;
    find("#retry").hidden = true;
    say(left === 0 ? "Saved" : `Saving, ${left} to go`, false);
    this.refresh();
    if (left === 0 && this.goesOnWhenSaved) {
      this.goesOnWhenSaved = false;
      this.goToNext();
    }
  }

  /**
   * @param {Error} problem
   * @param {number} nextTryMs
   */
  notSaved(problem, nextTryMs) {
    find("#retry").hidden = nextTryMs === 0;
    this.goesOnWhenSaved = false;
    const then =
      nextTryMs === 0
        ? "The last step was not kept."
        : `${this.saving.left} not saved yet; trying again in ${Math.round(nextTryMs / 1000)} s.`;
    say(`${problem.message} ${then}`, true);
    this.refresh();
  }

  leave() {
    this.scale.leave();
    this.lens.leave();
    this.guess.leave();
    this.hand = null;
    this.stage.hideLoupe();
    this.drawOverlay();
  }

  refresh() {
    const points = this.points();
    showPanel({
      chosen: this.chosen,
      points,
      marks: this.marks,
      count: this.standing.length,
      waiting: this.saving.left,
      asked: this.askedLeft(),
      next: this.nextWords(),
    });
    this.drawOverlay();
    this.drawCourse();
  }

  drawOverlay() {
    if (!this.stage || !this.scale || !this.ready) return;
    const { view, overlay } = this.stage;
    drawPoints(overlay, view, this.points(), this.chosen);
    overlay.prepend(...this.scale.drawn(view));
    overlay.append(...(this.lens?.drawn(view) ?? []));
    overlay.append(...scalePoints(view, this.guess?.drawn(this.frame) ?? [], false));
    if (this.hand) overlay.append(...hand(view, this.hand));
    if (this.scale.active) {
      overlay.append(
        ...scalePoints(
          view,
          this.scale.points,
          this.scale.kind === "rectangle" && this.scale.points.length === 4,
        ),
      );
    }
  }

  /**
   * Earlier marks of the chosen landmark beside the loupe, turned as the foot is
   * held on this frame.
   * @param {boolean} shown
   * @param {boolean} left the loupe stands at the left
   */
  showEarlier(shown, left) {
    if (!this.earlier) return;
    const landmark = this.chosen;
    if (!shown || this.pointing || (landmark !== "toe" && landmark !== "ankle")) {
      return this.earlier.hide();
    }
    const at = (/** @type {string} */ l) => this.points().find((p) => p.landmark === l);
    const toe = at("toe");
    const ankle = at("ankle");
    const foot = toe && ankle ? { toe: [toe.x, toe.y], ankle: [ankle.x, ankle.y] } : null;
    const found = alike(this.data.earlier ?? [], this.ownFeet(), foot);
    this.earlier.show({ found, foot, landmark, scale: this.stage.loupeScale, left });
  }

  /** Ankle and toe marks on other frames of this run. */
  ownFeet() {
    const toes = new Map(
      this.standing.filter((m) => m.landmark === "toe").map((m) => [m.frame, m]),
    );
    return this.standing.flatMap((m) => {
      const toe = toes.get(m.frame);
      if (m.landmark !== "ankle" || !toe || m.frame === this.frame) return [];
      const address = `${this.root.dataset.frames}${m.frame}.jpg`;
      return [{ address, on: "this run", toe: [toe.x_px, toe.y_px], ankle: [m.x_px, m.y_px] }];
    });
  }

  drawCourse() {
    drawCourse(find(".course"), {
      frames: this.frames,
      place: this.place,
      trace: this.marks.traces?.[this.chosen],
      marks: this.standing.filter((m) => m.landmark === this.chosen),
    });
  }
}

const root = /** @type {HTMLElement} */ (find("[data-marking]"));
ask(root.dataset.marking ?? "").then(
  (data) => {
    const page = new MarkingPage(root, data);
    root.dataset.started = "yes";
    return page;
  },
  (/** @type {Error} */ problem) => {
    find("#status").textContent = `${problem.message} Load this page again.`;
  },
);
