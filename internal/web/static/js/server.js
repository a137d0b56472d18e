// @ts-check
// Talking to the server.

import { Refused } from "./saving.js";

/**
 * Reads JSON, or fails with the server's own words. A refusal that trying
 * again cannot mend fails with Refused.
 * @param {string} address
 * @param {RequestInit} [init]
 * @returns {Promise<any>}
 */
export async function ask(address, init) {
  let answer;
  try {
    answer = await fetch(address, init);
  } catch {
    throw new Error("Underkick does not answer. Is the program still running?");
  }
  const body = await answer.json().catch(() => ({}));
  if (answer.ok) return body;
  const words = body.problem ?? `The program answered with error ${answer.status}.`;
  throw answer.status >= 500 ? new Error(words) : new Refused(words);
}

/**
 * Sends JSON and reads JSON.
 * @param {string} address
 * @param {unknown} body
 * @returns {Promise<any>}
 */
export function send(address, body) {
  return ask(address, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  });
}
