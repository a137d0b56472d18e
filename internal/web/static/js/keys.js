// @ts-check
// Which key does what on the marking page. Landmark keys come from the server.

/**
 * @typedef {object} KeyPress
 * @property {string} key as KeyboardEvent.key
 * @property {boolean} shiftKey
 * @property {boolean} altKey
 * @property {boolean} ctrlKey
 * @property {boolean} metaKey
 */

/**
 * @typedef {{ do: "step", by: number }
 *   | { do: "end", last: boolean }
 *   | { do: "marked", by: number }
 *   | { do: "nudge", x: number, y: number }
 *   | { do: "place" | "delete" | "undo" | "redo" | "fit" | "keys" | "leave" | "next-landmark" | "previous-landmark" | "next-frame" | "guess" }
 *   | { do: "zoom", factor: number }
 *   | { do: "choose", landmark: string }} Command
 */

/** @type {Record<string, { x: number, y: number }>} */
const arrows = {
  ArrowLeft: { x: -1, y: 0 },
  ArrowRight: { x: 1, y: 0 },
  ArrowUp: { x: 0, y: -1 },
  ArrowDown: { x: 0, y: 1 },
};

/** @type {Record<string, Command>} */
const plain = {
  ".": { do: "step", by: 1 },
  ",": { do: "step", by: -1 },
  ">": { do: "step", by: 10 },
  "<": { do: "step", by: -10 },
  PageDown: { do: "marked", by: 1 },
  PageUp: { do: "marked", by: -1 },
  Home: { do: "end", last: false },
  End: { do: "end", last: true },
  Enter: { do: "place" },
  " ": { do: "place" },
  Delete: { do: "delete" },
  Backspace: { do: "delete" },
  "[": { do: "previous-landmark" },
  "]": { do: "next-landmark" },
  "+": { do: "zoom", factor: 1.5 },
  "=": { do: "zoom", factor: 1.5 },
  "-": { do: "zoom", factor: 1 / 1.5 },
  f: { do: "fit" },
  n: { do: "next-frame" },
  g: { do: "guess" },
  "?": { do: "keys" },
  Escape: { do: "leave" },
};

/**
 * The command of a key press, or null when the key means nothing here.
 * Arrow keys move by 1 picture px, with Shift by 10, with Alt by a quarter.
 * @param {KeyPress} press
 * @param {Record<string, string>} landmarkKeys landmark id by key
 * @returns {Command | null}
 */
export function commandOf(press, landmarkKeys) {
  if (press.ctrlKey || press.metaKey) return undoOrRedo(press);
  const arrow = arrows[press.key];
  if (arrow) {
    const px = press.shiftKey ? 10 : press.altKey ? 0.25 : 1;
    return { do: "nudge", x: arrow.x * px, y: arrow.y * px };
  }
  if (press.altKey) return null;
  const landmark = landmarkKeys[press.key];
  if (landmark) return { do: "choose", landmark };
  return plain[press.key] ?? null;
}

/**
 * @param {KeyPress} press
 * @returns {Command | null}
 */
function undoOrRedo(press) {
  const key = press.key.toLowerCase();
  if (key === "z") return { do: press.shiftKey ? "redo" : "undo" };
  if (key === "y") return { do: "redo" };
  return null;
}
