// @ts-check
// The page that makes a clip: a changed choice shows one picture as it will be. Without
// this script the button beside does the same.

import { ask } from "./server.js";

/**
 * The address of the picture that a form describes: fields left empty are left out.
 * @param {string} base
 * @param {Iterable<[string, FormDataEntryValue]>} fields
 * @returns {string}
 */
export function pictureAddress(base, fields) {
  const query = new URLSearchParams();
  for (const [name, value] of fields) {
    if (typeof value === "string" && value !== "") query.append(name, value);
  }
  return `${base}?${query}`;
}

/**
 * Shows the picture of an address in the figure, or the server's words why there is none.
 * @param {HTMLElement} figure
 * @param {string} address
 */
function show(figure, address) {
  const img = /** @type {HTMLImageElement} */ (figure.querySelector("img"));
  const words = /** @type {HTMLElement} */ (figure.querySelector("figcaption"));
  figure.dataset.waiting = "";
  img.onload = () => {
    words.textContent = "One picture as it will be.";
    delete figure.dataset.waiting;
    delete figure.dataset.refused;
  };
  img.onerror = async () => {
    const problem = await ask(address).then(
      () => "The picture could not be drawn.",
      (/** @type {Error} */ why) => why.message,
    );
    if (img.getAttribute("src") !== address) return; // another choice was made meanwhile
    words.textContent = problem;
    figure.dataset.refused = "";
    delete figure.dataset.waiting;
  };
  img.src = address;
}

function begin() {
  const form = document.querySelector("form[data-clip-out]");
  const figure = document.querySelector(".try");
  if (!(form instanceof HTMLFormElement) || !(figure instanceof HTMLElement)) return;
  const button = form.querySelector("[data-show]");
  if (button instanceof HTMLElement) button.hidden = true;
  const base = form.dataset.clipOut ?? "";
  form.addEventListener("change", () => show(figure, pictureAddress(base, new FormData(form))));
}

if (typeof document !== "undefined") begin();
