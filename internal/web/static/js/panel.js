// @ts-check
// What stands around the picture: the landmarks with their state, the figure,
// the buttons, notes and the word about saving.

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
 */
export function showPanel({ chosen, points, marks, count, waiting }) {
  /** @param {boolean} marked */
  const names = (marked) =>
    new Set(points.filter((p) => p.marked === marked).map((p) => p.landmark));
  const marked = names(true);
  showLandmarks(chosen, marked, names(false));
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
 * @param {Set<string>} guessed
 */
function showLandmarks(chosen, marked, guessed) {
  for (const b of document.querySelectorAll("button[data-choose]")) {
    const l = b.getAttribute("data-choose") ?? "";
    b.setAttribute("aria-pressed", String(l === chosen));
    const state = /** @type {HTMLElement} */ (b.querySelector(".state"));
    state.textContent = marked.has(l) ? "marked" : guessed.has(l) ? "guessed" : "";
  }
  for (const s of document.querySelectorAll("[data-sentence]")) {
    /** @type {HTMLElement} */ (s).hidden = s.getAttribute("data-sentence") !== chosen;
  }
  for (const c of document.querySelectorAll(".figure circle")) {
    c.classList.toggle("lit", c.getAttribute("data-landmark") === chosen);
  }
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
