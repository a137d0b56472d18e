// @ts-check
// Marking without the earlier marks: one frame again, or the frames of two runs in
// turn. Only marks made on this page are ever shown.

import { madeFeet, nextPlace } from "./blind.js";
import { nextUnmarked } from "./measure.js";
import { Pictures } from "./pictures.js";
import { find, Placing } from "./placing.js";
import { markedPoint, withWaiting } from "./points.js";
import { ask } from "./server.js";

/** @typedef {import("./blind.js").BlindData} BlindData */
/** @typedef {import("./blind.js").BlindPlace} BlindPlace */
/** @typedef {import("./blind.js").BlindState} BlindState */
/** @typedef {import("./points.js").Action} Action */

/** @param {BlindPlace} place */
const sizeOf = ({ width, height }) => ({ width, height });

class BlindPage extends Placing {
  /**
   * @param {HTMLElement} root
   * @param {BlindData} data
   */
  constructor(root, data) {
    super({
      landmarks: data.landmarks,
      picture: sizeOf(data.places[0]),
      pictures: new Pictures((p) => data.places[p].picture, data.places.length),
      marks: root.dataset.marks ?? "",
    });
    this.data = data;
    this.state = data.state;
    this.listen();
    void this.go(Math.max(0, nextPlace(data.places, this.state.marks, 0)));
  }

  get here() {
    return this.data.places[this.place];
  }

  get frame() {
    return this.here.frame;
  }

  get order() {
    return this.here.landmarks;
  }

  /** Marks made on this page, saved or not. */
  get standing() {
    return withWaiting("place", this.state.marks, this.saving.waiting);
  }

  shown() {
    return this.standing.filter((m) => m.place === this.place).map(markedPoint);
  }

  /** @param {import("./keys.js").Command} c */
  goes(c) {
    switch (c.do) {
      case "step":
        void this.go(this.place + Math.sign(c.by));
        return true;
      case "next-frame":
        void this.go(nextPlace(this.data.places, this.standing, this.place));
        return true;
    }
    return false;
  }

  /** @param {number} wanted place; out of range stays */
  async go(wanted) {
    if (wanted < 0 || wanted >= this.data.places.length) return this.refresh();
    this.place = wanted;
    this.picture = sizeOf(this.here);
    if (!this.order.includes(this.chosen) || this.isMarked(this.chosen)) {
      super.choose(this.order.find((l) => !this.isMarked(l)) ?? this.order[0]);
    }
    await super.go(wanted);
  }

  /** @param {string} landmark */
  choose(landmark) {
    if (this.order.includes(landmark)) super.choose(landmark);
  }

  placed() {
    if (this.order.some((l) => !this.isMarked(l))) {
      this.choose(nextUnmarked(this.order, this.chosen, (l) => this.isMarked(l)));
      return;
    }
    const next = nextPlace(this.data.places, this.standing, this.place);
    if (next >= 0) void this.go(next);
  }

  /** In a walk through two runs a mark is not taken away, but undone. */
  remove() {
    if (find("#delete")) super.remove();
  }

  /** @param {Action} action */
  onThis(action) {
    return { ...action, place: this.place };
  }

  /**
   * @param {BlindState} answer
   * @param {number} left
   */
  saved(answer, left) {
    this.state = answer;
    super.saved(answer, left);
  }

  refresh() {
    const info = this.data.landmarks.find((l) => l.id === this.chosen);
    const left = this.order.filter((l) => !this.isMarked(l)).length;
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
      b.toggleAttribute("disabled", !this.order.includes(l));
      b.setAttribute("aria-pressed", String(l === this.chosen));
      find(`[data-state="${l}"]`).textContent = this.isMarked(l) ? "placed" : "";
    }
    this.drawOverlay();
  }

  /**
   * Feet marked on this page a little earlier, beside the loupe: in a walk through
   * two runs they keep the habit; of a single frame there are none.
   * @param {boolean} shown
   * @param {boolean} left
   */
  showEarlier(shown, left) {
    const landmark = this.chosen === "ankle" || this.chosen === "toe" ? this.chosen : null;
    if (!shown || !landmark || this.data.places.length < 2) return this.earlier.hide();
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
