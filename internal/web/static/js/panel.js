// @ts-check
// What stands around the picture: the landmarks with their state, the figure,
// the buttons, notes and the word about saving.

import { shareWords } from "./next.js";

/** @typedef {import("./next.js").Meter} Meter */
/** @typedef {import("./points.js").Marks} Marks */
/** @typedef {import("./points.js").Shown} Shown */

/** @param {string} selector @returns {any} */
const find = (selector) => document.querySelector(selector);

/**
 * @param {object} state
 * @param {string} state.chosen landmark
 * @param {Shown[]} state.points on the picture
 * @param {Marks} state.marks as the server last said
 * @param {number} state.count marks that stand, saved or not
 * @param {number} state.waiting actions not saved yet
 * @param {string[]} state.asked landmarks that are still to be marked on the frame asked for
 * @param {string} state.next the words about the next frame
 */
export function showPanel({ chosen, points, marks, count, waiting, asked, next }) {
  /** @param {boolean} marked */
  const names = (marked) =>
    new Set(points.filter((p) => p.marked === marked).map((p) => p.landmark));
  const marked = names(true);
  showLandmarks(chosen, marked, names(false), asked);
  showMeter(marks.meter);
  find("#next").disabled = !marks.next;
  find("#why").textContent = next;
  find("#undo").disabled = !marks.can_undo && waiting === 0;
  find("#redo").disabled = !marks.can_redo;
  find("#delete").disabled = !marked.has(chosen);
  find("#note").textContent = marks.note;
  find("#count").textContent = String(count);
  find("#warnings").replaceChildren(
    ...(marks.warnings ?? []).map((w) =>
      Object.assign(document.createElement("li"), { textContent: w }),
    ),
  );
}

/**
 * @param {string} chosen
 * @param {Set<string>} marked
 * @param {Set<string>} filledIn
 * @param {string[]} asked
 */
function showLandmarks(chosen, marked, filledIn, asked) {
  for (const b of document.querySelectorAll("button[data-choose]")) {
    const l = b.getAttribute("data-choose") ?? "";
    b.setAttribute("aria-pressed", String(l === chosen));
    const folded = b.closest("details");
    if (folded && l === chosen) folded.open = true;
    const state = /** @type {HTMLElement} */ (b.querySelector(".state"));
    const wanted = asked.includes(l);
    state.textContent = marked.has(l)
      ? "marked"
      : wanted
        ? "mark this"
        : filledIn.has(l)
          ? "filled in"
          : "";
    b.classList.toggle("wanted", wanted);
  }
  for (const s of document.querySelectorAll("[data-sentence]")) {
    /** @type {HTMLElement} */ (s).hidden = s.getAttribute("data-sentence") !== chosen;
  }
  for (const c of document.querySelectorAll(".figure circle")) {
    c.classList.toggle("lit", c.getAttribute("data-landmark") === chosen);
  }
}

/** @param {Meter} meter */
function showMeter(meter) {
  for (const row of document.querySelectorAll("[data-good]")) {
    const group = /** @type {"speed" | "sweep" | "build" | "facing"} */ (
      row.getAttribute("data-good")
    );
    const bar = /** @type {HTMLProgressElement} */ (row.querySelector("progress"));
    bar.value = meter[group];
    /** @type {HTMLElement} */ (row.querySelector(".share")).textContent = shareWords(meter[group]);
  }
  find("#enough").textContent = meter.enough;
}

/**
 * The word about saving.
 * @param {string} words
 * @param {boolean} warn
 */
export function say(words, warn) {
  const status = find("#status");
  status.textContent = words;
  status.classList.toggle("wrong", warn);
}
