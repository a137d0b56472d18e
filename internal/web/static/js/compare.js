// @ts-check
// The compare page: films, outlines and curves that follow one phase.

import { Figures } from "./compare_figures.js";
import { Film } from "./compare_film.js";
import { phaseAt, phaseWords, placesOf, timeAt } from "./phase_axis.js";
import { fittingWidth } from "./phase_pictures.js";
import { PhasePlayer } from "./phase_player.js";
import { ask } from "./server.js";

/** @typedef {import("./phase_axis.js").Kick} Kick */

/**
 * @typedef {object} Run
 * @property {string} id
 * @property {string} pictures address of the pictures' folder
 * @property {number} shrink px of a picture per px of the clip
 * @property {boolean} mirror
 * @property {number[]} frames
 * @property {number[]} times s
 * @property {number[]} x
 * @property {number[]} y
 * @property {number[]} w
 * @property {(Kick & { moments: Record<string, number> })[]} kicks
 * @property {number} chosen
 * @property {{ times: number[], points: Record<string, { x: (number | null)[], y: (number | null)[] }> }} figure
 */

/** @typedef {{ aspect: number, bytes: number, runs: Run[] }} Films */

// One step of the arrow keys and of the page keys, in kicks.
const smallStep = 0.01;
const largeStep = 0.1;

class Comparison {
  /**
   * @param {HTMLElement} root
   * @param {Films} data
   */
  constructor(root, data) {
    this.root = root;
    this.data = data;
    this.inTurn = false;
    this.turn = -1;
    /** @type {Kick[][]} one list per run, one kick per turn */
    this.kicks = [];
    this.films = data.runs.map(
      (run) =>
        new Film(
          /** @type {HTMLElement} */ (root.querySelector(`[data-run="${run.id}"]`)),
          run,
          data.aspect,
          () => this.pictureCame(),
        ),
    );
    this.figures = new Figures(document, data.runs);
    this.player = new PhasePlayer((place) => this.show(place));
    this.range = /** @type {HTMLInputElement} */ (root.querySelector("[data-phase]"));
    this.words = /** @type {HTMLElement} */ (root.querySelector("[data-words]"));
    this.playButton = /** @type {HTMLButtonElement} */ (root.querySelector("[data-play]"));
    this.reading = /** @type {HTMLElement} */ (root.querySelector("[data-reading]"));
    this.waiting = false;
    this.listen();
    this.choose();
  }

  listen() {
    this.player.changed = (playing) => {
      this.playButton.textContent = playing ? "Pause" : "Play";
      this.playButton.setAttribute("aria-pressed", String(playing));
      if (!playing) for (const f of this.films) f.sharpen();
    };
    this.playButton.addEventListener("click", () => this.playOrPause());
    this.range.addEventListener("input", () => {
      this.player.pause();
      this.player.go(Number(this.range.value) / 1000);
    });
    const speed = /** @type {HTMLSelectElement} */ (this.root.querySelector("[data-speed]"));
    this.player.speed = Number(speed.value);
    speed.addEventListener("change", () => {
      this.player.speed = Number(speed.value);
    });
    const turn = /** @type {HTMLInputElement} */ (this.root.querySelector("[data-turn]"));
    this.inTurn = turn.checked;
    turn.addEventListener("change", () => {
      this.inTurn = turn.checked;
      this.choose();
    });
    for (const pick of this.picks()) {
      pick.addEventListener("change", () => {
        this.choose();
        this.keepInAddress();
      });
    }
    for (const b of this.root.querySelectorAll("[data-moment]")) {
      b.addEventListener("click", () =>
        this.goToMoment(/** @type {HTMLElement} */ (b).dataset.moment ?? ""),
      );
    }
    document.addEventListener("keydown", (e) => this.key(e));
    this.scrubbing();
    this.layers();
    new ResizeObserver(() => this.resized()).observe(this.root);
  }

  /** @returns {NodeListOf<HTMLSelectElement>} */
  picks() {
    return this.root.querySelectorAll("select[data-kick]");
  }

  /** Takes the kicks that are chosen, in turn or one alone. */
  choose() {
    const picked = [...this.picks()].map((p) => Number(p.value));
    const turns = Math.min(...this.data.runs.map((r) => r.kicks.length));
    this.kicks = this.data.runs.map((r, i) => {
      if (this.inTurn) return r.kicks.slice(0, turns);
      return [r.kicks.find((k) => k.number === picked[i]) ?? r.kicks[0]];
    });
    for (const p of this.picks()) p.disabled = this.inTurn;
    this.range.max = String(1000 * (this.inTurn ? turns : 1));
    this.films.forEach((f, i) => {
      f.take(this.kicks[i]);
    });
    this.player.follow(this.kicks[0]);
    this.readAhead();
  }

  keepInAddress() {
    const url = new URL(location.href);
    for (const p of this.picks()) url.searchParams.set(p.name, p.value);
    history.replaceState(null, "", url);
  }

  resized() {
    for (const f of this.films) f.resize();
    this.readAhead();
    this.show(this.player.place);
  }

  /** Decides how large pictures may be, and reads those of this kick and the next one. */
  readAhead() {
    const turn = this.turnOf(this.player.place);
    const turns = this.kicks[0].length;
    let most = 0;
    for (let n = 0; n < turns; n++) {
      let sum = 0;
      this.films.forEach((f, i) => {
        sum += placesOf(f.run.times, this.kicks[i][n]).length;
        if (turns > 1) sum += placesOf(f.run.times, this.kicks[i][(n + 1) % turns]).length;
      });
      most = Math.max(most, sum);
    }
    const phase = this.player.place - turn;
    for (const f of this.films) {
      const shown = f.canvas.width;
      f.want(turn, phase, fittingWidth(shown, this.data.aspect, most, this.data.bytes));
    }
    this.pictureCame();
  }

  /** @param {number} place */
  turnOf(place) {
    return Math.min(Math.floor(place), this.kicks[0].length - 1);
  }

  /** @param {number} place */
  show(place) {
    if (this.kicks.length === 0) return;
    const turn = this.turnOf(place);
    const phase = place - turn;
    if (turn !== this.turn) {
      this.turn = turn;
      if (this.inTurn) this.readAhead();
    }
    let missed = 0;
    this.films.forEach((f, i) => {
      if (!f.show(timeAt(this.kicks[i][turn], phase), turn)) missed++;
    });
    if (this.player.playing) {
      this.count("played", 1);
      if (missed > 0) this.count("missed", 1);
    } else {
      for (const f of this.films) f.sharpenSoon();
    }
    this.figures.show(
      this.kicks.map((k) => timeAt(k[turn], phase)),
      phase,
    );
    this.range.value = String(Math.round(place * 1000));
    const kick = this.inTurn ? `kick ${turn + 1} of ${this.kicks[0].length}, ` : "";
    this.words.textContent = kick + phaseWords(phase);
    this.range.setAttribute("aria-valuetext", this.words.textContent);
    this.root.dataset.place = place.toFixed(4);
  }

  /**
   * @param {string} name
   * @param {number} by
   */
  count(name, by) {
    this.root.dataset[name] = String(Number(this.root.dataset[name] ?? 0) + by);
  }

  /** A picture arrived: says how far reading is, and plays when play waited for it. */
  pictureCame() {
    let ready = 0;
    let wanted = 0;
    let bytes = 0;
    let failed = 0;
    for (const f of this.films) {
      ready += f.store.ready();
      wanted += f.store.wanted.length;
      bytes += f.bytes();
      failed += f.store.failed.size;
    }
    this.root.dataset.bytes = String(bytes);
    this.root.dataset.peak = String(Math.max(bytes, Number(this.root.dataset.peak ?? 0)));
    const all = ready === wanted;
    this.root.dataset.ready = all ? "yes" : "no";
    this.reading.hidden = all && failed === 0;
    this.reading.textContent =
      failed > 0 && !all
        ? "Some pictures could not be read. Press Play to try again."
        : `Reading pictures: ${ready} of ${wanted}`;
    if (all && this.waiting) {
      this.waiting = false;
      this.player.play();
    }
  }

  playOrPause() {
    if (this.player.playing || this.waiting) {
      this.waiting = false;
      this.player.pause();
      return;
    }
    for (const f of this.films) f.store.again();
    this.readAhead();
    if (this.root.dataset.ready === "yes") this.player.play();
    else this.waiting = true;
  }

  /** @param {string} name of a moment of the first run's kick */
  goToMoment(name) {
    const turn = this.turnOf(this.player.place);
    const k = /** @type {Run["kicks"][number]} */ (this.kicks[0][turn]);
    const t = k.moments[name];
    if (t === undefined) return;
    this.player.pause();
    this.player.go(turn + Math.min(Math.max(phaseAt(k, t), 0), 1));
  }

  /** @param {KeyboardEvent} e */
  key(e) {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const on = /** @type {HTMLElement} */ (e.target);
    const field = on.closest("select, textarea, input:not([type=range]):not([type=checkbox])");
    if (field || (e.key === " " && on.closest("button, a, summary, input[type=checkbox]"))) return;
    const step = e.shiftKey ? largeStep : smallStep;
    /** @type {Record<string, () => void>} */
    const does = {
      ArrowRight: () => this.player.step(step),
      ArrowLeft: () => this.player.step(-step),
      PageDown: () => this.player.step(largeStep),
      PageUp: () => this.player.step(-largeStep),
      Home: () => this.player.step(-this.player.turns),
      End: () => this.player.step(this.player.turns),
      " ": () => this.playOrPause(),
    };
    // The keys that scroll do so unless the films or their bar have the focus.
    const scrolls = ["PageDown", "PageUp", "Home", "End"].includes(e.key);
    if (!does[e.key] || (scrolls && !this.root.contains(on))) return;
    e.preventDefault();
    does[e.key]();
  }

  /** Drags over a film go through the kick: its width is one kick. */
  scrubbing() {
    for (const f of this.films) {
      const box = f.box;
      /** @type {{ x: number, place: number } | null} */
      let held = null;
      box.addEventListener("pointerdown", (e) => {
        held = { x: e.clientX, place: this.player.place };
        box.setPointerCapture(e.pointerId);
        this.player.pause();
      });
      box.addEventListener("pointermove", (e) => {
        if (held) this.player.go(held.place + (e.clientX - held.x) / box.clientWidth);
      });
      for (const end of ["pointerup", "pointercancel"]) {
        box.addEventListener(end, () => {
          held = null;
        });
      }
    }
  }

  /** The switches of what is drawn on the films. */
  layers() {
    /** @type {NodeListOf<HTMLInputElement>} */
    const switches = this.root.querySelectorAll("[data-layer]");
    const read = () => {
      const on = [...switches].filter((s) => s.checked).map((s) => s.dataset.layer ?? "");
      for (const f of this.films) f.draw(on);
    };
    for (const s of switches) s.addEventListener("change", read);
    read();
  }
}

/** @param {HTMLElement} root */
async function start(root) {
  const note = /** @type {HTMLElement} */ (root.querySelector("[data-reading]"));
  try {
    new Comparison(root, await ask(root.dataset.films ?? ""));
    root.dataset.started = "";
  } catch (e) {
    note.hidden = false;
    note.textContent = e instanceof Error ? e.message : String(e);
  }
}

if (typeof document !== "undefined") {
  const root = document.querySelector("[data-films]");
  if (root) start(/** @type {HTMLElement} */ (root));
}
