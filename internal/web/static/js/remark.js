// @ts-check
// Marking without the earlier marks: one frame again, or the frames of two runs in
// turn. Only marks made on this page are ever shown.

import { madeFeet, nextPlace, onPlace, withWaiting } from "./blind.js";
import { EarlierMarks } from "./earlier.js";
import { commandOf } from "./keys.js";
import { nearest, nextUnmarked } from "./measure.js";
import { drawPoints, hand } from "./overlay.js";
import { SavingLine } from "./saving.js";
import { ask, send } from "./server.js";
import { Stage } from "./stage.js";
import { toPicture, withinPicture } from "./view.js";

/** @typedef {import("./view.js").Point} Point */
/** @typedef {import("./blind.js").BlindData} BlindData */
/** @typedef {import("./blind.js").BlindState} BlindState */

/** @param {string} selector @returns {any} */
const find = (selector) => document.querySelector(selector);

class BlindPage {
  /**
   * @param {HTMLElement} root
   * @param {BlindData} data
   */
  constructor(root, data) {
    this.root = root;
    this.data = data;
    this.state = data.state;
    this.keys = Object.fromEntries(data.landmarks.map((l) => [l.key, l.id]));
    this.place = Math.max(0, nextPlace(data.places, this.state.marks, 0));
    this.chosen = data.places[this.place].landmarks[0];
    /** @type {Point | null} where arrow keys have moved the cross, picture px */
    this.hand = null;
    /** @type {{ landmark: string, x: number, y: number } | null} a mark being dragged or nudged, not sent yet */
    this.moving = null;
    this.nudgeTimer = 0;
    this.ready = false;
    /** @type {Map<number, Promise<HTMLImageElement>>} */
    this.pictures = new Map();
    this.saving = new SavingLine({
      send: (action) => send(root.dataset.marks ?? "", action),
      saved: (answer, left) => this.saved(answer, left),
      failed: (problem, ms) => this.notSaved(problem, ms),
    });
    this.stage = new Stage(find(".stage"), this.size, {
      redraw: () => this.drawOverlay(),
      grab: (at, reach) => this.grab(at, reach),
      drag: (held, at, done) => this.drag(held, at, done),
      click: (at, held) => this.click(at, held),
      loupe: (shown, left) => this.showEarlier(shown, left),
    });
    this.earlier = new EarlierMarks(find(".earlier"));
    this.listen();
    void this.go(this.place);
  }

  get here() {
    return this.data.places[this.place];
  }

  get size() {
    return { width: this.here.width, height: this.here.height };
  }

  /** Marks made on this page, saved or not. */
  get standing() {
    return withWaiting(this.state.marks, this.saving?.waiting ?? []);
  }

  points() {
    const points = onPlace(this.standing, this.place);
    const m = this.moving;
    if (!m) return points;
    return [
      ...points.filter((p) => p.landmark !== m.landmark),
      { ...m, marked: true, saved: false, sd: 0 },
    ];
  }

  /** @param {string} landmark */
  isMarked(landmark) {
    return this.points().some((p) => p.landmark === landmark);
  }

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
    if (find("dialog").open || target.matches("input, select, textarea")) return;
    if ((e.key === "Enter" || e.key === " ") && target.matches("button, a, summary")) return;
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
        return void this.go(this.place + Math.sign(c.by));
      case "next-frame":
        return void this.go(nextPlace(this.data.places, this.standing, this.place));
      case "choose":
        return this.choose(c.landmark);
      case "next-landmark":
        return this.chooseBy(1);
      case "previous-landmark":
        return this.chooseBy(-1);
      case "nudge":
        return this.nudge(c);
      case "place":
        return this.ready && !this.isMarked(this.chosen) ? this.put(this.handPlace()) : undefined;
      case "delete":
        return find("#delete") && this.isMarked(this.chosen)
          ? this.act("delete", { x: 0, y: 0 })
          : undefined;
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
        return this.stage.hideLoupe();
    }
  }

  /** @param {number} wanted place; out of range stays */
  async go(wanted) {
    if (wanted < 0 || wanted >= this.data.places.length) return this.refresh();
    this.place = wanted;
    this.hand = null;
    this.ready = false;
    this.stage.overlay.replaceChildren();
    find(".waiting").hidden = false;
    if (!this.here.landmarks.includes(this.chosen) || this.isMarked(this.chosen)) {
      this.chosen = this.here.landmarks.find((l) => !this.isMarked(l)) ?? this.here.landmarks[0];
    }
    try {
      const image = await this.picture(wanted);
      if (wanted !== this.place) return;
      this.ready = true;
      find(".waiting").hidden = true;
      this.stage.picture = this.size;
      this.stage.root.style.aspectRatio = `${this.size.width} / ${this.size.height}`;
      this.stage.image = image;
      this.stage.whole();
      if (wanted + 1 < this.data.places.length) void this.picture(wanted + 1).catch(() => {});
    } catch {
      if (wanted !== this.place) return;
      this.say(`Frame ${this.here.frame} cannot be read. Load the page again.`, true);
    }
    this.refresh();
  }

  /** @param {number} place */
  picture(place) {
    let picture = this.pictures.get(place);
    if (!picture) {
      const image = new Image();
      image.src = this.data.places[place].picture;
      picture = image.decode().then(() => image);
      picture.catch(() => this.pictures.delete(place));
      this.pictures.set(place, picture);
    }
    return picture;
  }

  /** @param {string} landmark */
  choose(landmark) {
    if (!this.here.landmarks.includes(landmark)) return;
    this.chosen = landmark;
    this.hand = null;
    this.refresh();
  }

  /** @param {number} by */
  chooseBy(by) {
    const all = this.here.landmarks;
    this.choose(all[(all.indexOf(this.chosen) + by + all.length) % all.length]);
  }

  /**
   * @param {Point} at picture px
   * @param {number} reach picture px
   */
  grab(at, reach) {
    this.finishNudge();
    if (!this.ready || this.onlyShows) return null;
    const points = this.points();
    const i = nearest(points, at, reach);
    return i < 0 ? null : points[i].landmark;
  }

  /**
   * @param {string} held
   * @param {Point} at
   * @param {boolean} done
   */
  drag(held, at, done) {
    this.chosen = held;
    this.moving = { landmark: held, ...withinPicture(at, this.size) };
    if (done) this.commitMove();
    else this.drawOverlay();
  }

  /**
   * @param {Point} at
   * @param {string | null} held
   */
  click(at, held) {
    if (!this.ready || this.onlyShows) return;
    if (held && (held === this.chosen || this.isMarked(this.chosen))) return this.choose(held);
    this.put(withinPicture(at, this.size));
  }

  /** @param {Point} p picture px */
  put(p) {
    const wasMarked = this.isMarked(this.chosen);
    this.act("place", p);
    if (wasMarked) return;
    const missing = this.here.landmarks.some((l) => !this.isMarked(l));
    if (missing) {
      this.choose(nextUnmarked(this.here.landmarks, this.chosen, (l) => this.isMarked(l)));
      return;
    }
    const next = nextPlace(this.data.places, this.standing, this.place);
    if (next >= 0) void this.go(next);
  }

  /** @param {{ x: number, y: number }} by picture px */
  nudge(by) {
    if (!this.ready) return;
    const mark = this.points().find((p) => p.landmark === this.chosen);
    const from = mark ?? this.handPlace();
    const p = withinPicture({ x: from.x + by.x, y: from.y + by.y }, this.size);
    if (mark) {
      this.moving = { landmark: this.chosen, ...p };
      clearTimeout(this.nudgeTimer);
      this.nudgeTimer = Number(setTimeout(() => this.finishNudge(), 600));
    } else {
      this.hand = p;
    }
    this.stage.reveal(p);
    this.stage.loupeAt(p);
  }

  /** Where the cross starts: the middle of what is seen, never at a guess. */
  handPlace() {
    if (this.hand) return this.hand;
    const { width, height } = this.stage.size;
    return withinPicture(toPicture(this.stage.view, { x: width / 2, y: height / 2 }), this.size);
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

  /**
   * @param {"place" | "delete" | "undo" | "redo"} what
   * @param {Point} p
   */
  act(what, p) {
    this.send(what, this.chosen, p);
  }

  /**
   * @param {"place" | "delete" | "undo" | "redo"} what
   * @param {string} landmark
   * @param {Point} p
   */
  send(what, landmark, p) {
    this.hand = null;
    this.saving.add(
      /** @type {any} the line carries any action */ ({
        do: what,
        place: this.place,
        landmark,
        x_px: p.x,
        y_px: p.y,
      }),
    );
    this.say("Saving", false);
    this.refresh();
  }

  /**
   * @param {BlindState} answer
   * @param {number} left
   */
  saved(answer, left) {
    this.state = answer;
    find("#retry").hidden = true;
    this.say(left > 0 ? "Saving" : "Saved", false);
    this.refresh();
  }

  /**
   * @param {Error} problem
   * @param {number} ms
   */
  notSaved(problem, ms) {
    find("#retry").hidden = ms === 0;
    const left = ms > 0 ? ` ${this.saving.left} not saved yet.` : "";
    this.say(`${problem.message}${left}`, true);
    this.refresh();
  }

  /**
   * @param {string} words
   * @param {boolean} bad
   */
  say(words, bad) {
    const status = find("#status");
    status.textContent = words;
    status.classList.toggle("bad", bad);
  }

  refresh() {
    const info = this.data.landmarks.find((l) => l.id === this.chosen);
    const left = this.here.landmarks.filter((l) => !this.isMarked(l)).length;
    find("#chosen").textContent = left === 0 ? "all placed" : this.chosen;
    find("#sentence").textContent = info?.sentence ?? "";
    const n = this.data.places.length;
    find("#where").textContent =
      n > 1 ? `${this.place + 1} of ${n}: ${this.here.words}` : this.here.words;
    find("#undo").disabled = !this.state.can_undo && this.saving.left === 0;
    if (find("#redo")) find("#redo").disabled = !this.state.can_redo;
    if (find("#delete")) find("#delete").disabled = !this.isMarked(this.chosen);
    if (find("#finish")) {
      find("#finish").disabled = this.state.marks.length === 0 || this.saving.left > 0;
    }
    if (find("#left")) find("#left").textContent = String(this.state.left);
    if (find("#alike") && this.state.left === 0 && this.saving.left === 0) {
      find("#alike").textContent = "Every frame is done. These two runs are marked alike.";
    }
    for (const b of document.querySelectorAll("button[data-choose]")) {
      const l = b.getAttribute("data-choose") ?? "";
      b.toggleAttribute("disabled", !this.here.landmarks.includes(l));
      b.setAttribute("aria-pressed", String(l === this.chosen));
      find(`[data-state="${l}"]`).textContent = this.isMarked(l) ? "placed" : "";
    }
    this.drawOverlay();
  }

  drawOverlay() {
    if (!this.stage || !this.ready) return;
    drawPoints(this.stage.overlay, this.stage.view, this.points(), this.chosen);
    if (this.hand) this.stage.overlay.append(...hand(this.stage.view, this.hand));
  }

  /**
   * Feet marked on this page a little earlier, beside the loupe: in a walk through
   * two runs they keep the habit; of a single frame there are none.
   * @param {boolean} shown
   * @param {boolean} left
   */
  showEarlier(shown, left) {
    const landmark = this.chosen === "ankle" || this.chosen === "toe" ? this.chosen : null;
    if (!shown || !landmark || this.data.places.length < 2) return this.earlier?.hide();
    this.earlier.show({
      found: madeFeet(this.data.places, this.standing, this.place),
      foot: null,
      landmark,
      scale: this.stage.loupeScale,
      left,
    });
  }
}

const root = find("[data-blind]");
ask(root.dataset.blind ?? "").then(
  (data) => {
    new BlindPage(root, data);
    root.setAttribute("data-started", "");
  },
  (problem) => {
    find("#status").textContent = problem.message;
  },
);
