// @ts-check
// The filming card: a changed field shows its card at once, and the bands follow
// when they are worked out. Without this script the form and a link do the same.

import { offerPrint } from "./print.js";

/**
 * The address of the card that a form describes: fields left empty are left out.
 * @param {Iterable<[string, FormDataEntryValue]>} fields
 * @returns {string}
 */
export function addressOf(fields) {
  const query = new URLSearchParams();
  for (const [name, value] of fields) {
    if (typeof value === "string" && value.trim() !== "") query.append(name, value.trim());
  }
  return `/filming-card?${query}`;
}

/** What is being asked for; a newer question ends an older one. */
let asking = new AbortController();

/**
 * Puts the card of an address in place of the one shown. A refused card brings its
 * whole page, because the form says why.
 * @param {string} address
 * @param {boolean} whole also when a field cannot be
 */
async function show(address, whole) {
  asking.abort();
  asking = new AbortController();
  const signal = asking.signal;
  const shown = /** @type {HTMLElement} */ (document.querySelector("#card"));
  try {
    const answer = await fetch(address, { signal, headers: { Accept: "text/html" } });
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const card = page.querySelector("#card");
    if (signal.aborted || !card) return;
    if (!answer.ok && whole) {
      location.assign(address);
      return;
    }
    const open = [...shown.querySelectorAll("details")].map((d) => d.open);
    shown.replaceChildren(...card.childNodes);
    shown.querySelectorAll("details").forEach((d, i) => {
      d.open = open[i] ?? false;
    });
    await bands();
  } catch {
    // The card shown stays; the button asks again.
  }
}

/** Asks for the bands where the card has none yet. */
async function bands() {
  const place = document.querySelector("[data-bands]");
  if (!(place instanceof HTMLElement)) return;
  const address = place.dataset.bands ?? "";
  place.textContent = "Working out the bands of the measures, and what would help.";
  await show(address, false);
}

function begin() {
  const form = document.querySelector("form[data-filming]");
  if (form instanceof HTMLFormElement) {
    form.addEventListener("change", () => {
      const address = addressOf(new FormData(form));
      history.replaceState(null, "", address);
      show(address, true);
    });
  }
  const preset = document.querySelector("form[data-preset]");
  if (preset instanceof HTMLFormElement) {
    const button = preset.querySelector(".actions");
    if (button instanceof HTMLElement) button.hidden = true;
    preset.addEventListener("change", () => preset.requestSubmit());
  }
  offerPrint();
  bands();
}

if (typeof document !== "undefined") begin();
