// @ts-check
// The marking page of a run: marks and filled-in points on its frames, the course of a
// landmark over them, the next frame, scale, lens and guess.

import { drawCourse, placeAt } from "./course.js";
import { alike } from "./earlier.js";
import { GuessPanel } from "./guess.js";
import { LensForm } from "./lens.js";
import { nextUnmarked } from "./measure.js";
import { frameFor, leftOf, listed } from "./next.js";
import { scalePoints } from "./overlay.js";
import { say, showPanel } from "./panel.js";
import { Pictures } from "./pictures.js";
import { find, Placing } from "./placing.js";
import { markedFrame, pointsOn, withWaiting } from "./points.js";
import { ScaleForm } from "./scale.js";
import { ask } from "./server.js";
import { withinPicture } from "./view.js";

/** @typedef {import("./view.js").Point} Point */
/** @typedef {import("./points.js").Marks} Marks */
/** @typedef {import("./placing.js").Action} Action */
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

class MarkingPage extends Placing {
  /**
   * @param {HTMLElement} root
   * @param {MarkingData} data
   */
  constructor(root, data) {
    const frames = data.frames.map((f) => f.n);
    const base = root.dataset.frames ?? "";
    super({
      landmarks: data.landmarks,
      picture: { width: data.width, height: data.height },
      pictures: new Pictures((p) => `${base}${frames[p]}.jpg`, frames.length),
      marks: root.dataset.marks ?? "",
    });
    this.root = root;
    this.data = data;
    this.marks = data.marks;
    this.frames = frames;
    this.place = this.firstPlace();
    /** @type {{ frame: number, landmarks: string[] } | null} what was asked for and went to last */
    this.ask = null;
    /** @type {Set<number>} frames asked for that could not be marked */
    this.refused = new Set();
    this.goesOnWhenSaved = false;
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
    return withWaiting("frame", this.marks.marks ?? [], this.saving.waiting);
  }

  shown() {
    return pointsOn(this.standing, this.marks.traces ?? {}, this.frame);
  }

  listen() {
    super.listen();
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
    window.addEventListener("resize", () => this.drawCourse());
  }

  /** @param {import("./keys.js").Command} c */
  goes(c) {
    switch (c.do) {
      case "step":
        void this.go(this.place + c.by);
        return true;
      case "end":
        void this.go(c.last ? this.frames.length - 1 : 0);
        return true;
      case "marked":
        this.goToMarked(c.by);
        return true;
      case "next-frame":
        this.goToNext();
        return true;
      case "guess":
        this.guess.begin();
        return true;
    }
    return false;
  }

  /** @param {number} wanted place */
  async go(wanted) {
    const going = super.go(wanted);
    find("#frame").value = String(this.frame);
    find("#time").textContent = `${this.data.frames[this.place].t.toFixed(3)} s`;
    find("#where").textContent = `${this.place + 1} of ${this.frames.length}`;
    await going;
    if (this.ready) void this.scale.lookAtGrid();
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

  /**
   * @param {Point} at picture px
   * @param {number} reach picture px
   * @returns {string | null} the mark under the pointer, or the chosen landmark's filled-in point
   */
  grab(at, reach) {
    const held = super.grab(at, reach);
    if (!this.pointing || !this.ready || this.onlyShows) return held;
    return this.setting && !this.guess.active ? this.setting.grab(at, reach) : null;
  }

  /**
   * @param {string} held
   * @param {Point} at
   * @param {boolean} done
   */
  drag(held, at, done) {
    if (this.setting) return this.setting.drag(held, withinPicture(at, this.picture));
    super.drag(held, at, done);
  }

  /**
   * @param {Point} at
   * @param {string | null} held a mark under the pointer
   */
  click(at, held) {
    if (!this.pointing) return super.click(at, held);
    if (this.ready && !this.onlyShows) this.sets(withinPicture(at, this.picture));
  }

  /** The landmarks that marking goes through: those needed, and those marked anywhere. */
  inUse() {
    const marked = new Set(this.standing.map((m) => m.landmark));
    return this.data.landmarks.filter((l) => l.needed || marked.has(l.id)).map((l) => l.id);
  }

  placed() {
    if (!find("#go-on").checked) return;
    const asked = this.ask?.frame === this.frame ? this.ask.landmarks : this.inUse();
    this.choose(nextUnmarked(asked, this.chosen, (l) => this.isMarked(l)));
    this.reveal();
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

  /**
   * Gives a point to what is being set on the picture.
   * @param {Point} p picture px
   */
  sets(p) {
    if (this.guess.active) this.guess.click(p);
    else this.setting?.click(p);
  }

  /** The filled-in point of the chosen landmark on the frame shown. */
  filledIn() {
    return this.points().find((p) => p.landmark === this.chosen && !p.marked);
  }

  placeAtHand() {
    if (!this.ready) return;
    if (this.pointing) return this.sets(this.handPlace());
    if (this.hand || this.isMarked(this.chosen) || !this.filledIn()) return super.placeAtHand();
    this.put(this.handPlace(), "accept");
  }

  /** @param {Action} action */
  onThis(action) {
    return { ...action, frame: this.frame };
  }

  /** @param {Action} action */
  toSend(action) {
    return { ...action, seq: this.marks.seq };
  }

  /**
   * @param {Marks} answer
   * @param {number} left
   */
  saved(answer, left) {
    this.marks = answer;
    super.saved(answer, left);
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
    this.goesOnWhenSaved = false;
    super.notSaved(problem, nextTryMs);
  }

  leave() {
    this.scale.leave();
    this.lens.leave();
    this.guess.leave();
    super.leave();
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
    if (!this.ready) return;
    super.drawOverlay();
    const { view, overlay } = this.stage;
    overlay.prepend(...this.scale.drawn(view));
    overlay.append(...this.lens.drawn(view));
    overlay.append(...scalePoints(view, this.guess.drawn(this.frame), false));
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
