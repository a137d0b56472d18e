// @ts-check
// Background work that a page waits for.

import { ask } from "./server.js";

/**
 * Whether work in a state goes on by itself.
 * @param {string} state
 */
export function busy(state) {
  return state === "waiting" || state === "running";
}

/**
 * Shows how far work is, in the box's words and bar, until it ends.
 * @param {HTMLElement} box
 * @param {string} address of the work
 * @param {(doing: string) => string} words
 * @param {(doing: HTMLElement) => void} ended gets the place of the words
 */
export function followWork(box, address, words, ended) {
  const doing = /** @type {HTMLElement} */ (box.querySelector("[data-doing]"));
  const bar = /** @type {HTMLProgressElement} */ (box.querySelector("progress"));
  const look = async () => {
    const job = await ask(address).catch(() => null);
    if (job && !busy(job.state)) return ended(doing);
    if (job) {
      doing.textContent = words(job.doing);
      bar.value = job.fraction;
    }
    setTimeout(look, 700);
  };
  look();
}
