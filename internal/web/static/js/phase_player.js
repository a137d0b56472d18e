// @ts-check
// The clock of a comparison: one place on the phase axis that every film, figure and
// curve follows. It plays, steps and jumps; who shows something listens.

import { advance } from "./phase_axis.js";

/** @typedef {import("./phase_axis.js").Kick} Kick */

export class PhasePlayer {
  /**
   * @param {(place: number) => void} show called with every new place, whole kicks before the point
   */
  constructor(show) {
    this.show = show;
    this.place = 0;
    /** @type {Kick[]} */
    this.lead = [];
    this.speed = 0.25;
    this.playing = false;
    this.last = 0;
    /** @type {(playing: boolean) => void} */
    this.changed = () => {};
  }

  /**
   * Takes the leading run's kicks, one per turn, and keeps the phase.
   * @param {Kick[]} lead
   */
  follow(lead) {
    this.lead = lead;
    this.go(Math.min(this.place, lead.length));
  }

  /** Turns that are played one after the other. */
  get turns() {
    return Math.max(1, this.lead.length);
  }

  /** @param {number} place 0..turns */
  go(place) {
    this.place = Math.min(Math.max(place, 0), this.turns);
    this.show(this.place);
  }

  /** @param {number} by in kicks */
  step(by) {
    this.pause();
    this.go(Math.round((this.place + by) * 1000) / 1000);
  }

  play() {
    if (this.playing || this.lead.length === 0) return;
    this.playing = true;
    if (this.place >= this.turns) this.place = 0;
    this.last = 0;
    this.changed(true);
    requestAnimationFrame((now) => this.tick(now));
  }

  pause() {
    if (!this.playing) return;
    this.playing = false;
    this.changed(false);
  }

  toggle() {
    if (this.playing) this.pause();
    else this.play();
  }

  /** @param {number} now ms */
  tick(now) {
    if (!this.playing) return;
    // A page that was hidden for long must not jump ahead.
    const passed = this.last === 0 ? 0 : Math.min(now - this.last, 100) / 1000;
    this.last = now;
    this.place = advance(this.place, passed * this.speed, this.lead);
    this.show(this.place);
    requestAnimationFrame((next) => this.tick(next));
  }
}
