// @ts-check
// The sliders of the kick page: every move asks the model at once, the band follows when
// the finger rests. Without this script the form does the same with a button.

import { ask } from "./server.js";
import { followWork } from "./work.js";

/**
 * @typedef {{ of: string, same: string, whole: string, notes: string[], refused: string, where: string,
 *   measured: string, measured_loop: string, changed: string, changed_loop: string }} Answer
 */

/**
 * The slider's value as the page writes it: "+5 °", "0 cm".
 * @param {number} value
 * @param {string} unit
 * @returns {string}
 */
export function amountWords(value, unit) {
  return `${value > 0 ? "+" : ""}${value < 0 ? "\u2212" : ""}${Math.abs(value)} ${unit}`;
}

/**
 * The question that the form asks, without sliders that ask nothing.
 * @param {Iterable<[string, string]>} fields
 * @param {string} of
 * @returns {string}
 */
export function question(fields, of) {
  const q = new URLSearchParams({ of });
  for (const [name, value] of fields) {
    if (name === "phase" || (name !== "kick" && Number(value) !== 0)) q.set(name, value);
  }
  return q.toString();
}

/**
 * Runs one question at a time: while one is out, only the last one asked is kept.
 * @param {(question: string) => Promise<void>} send
 * @returns {(question: string) => void}
 */
export function latest(send) {
  let busy = false;
  /** @type {string | null} */
  let next = null;
  /** @param {string} q */
  const go = async (q) => {
    busy = true;
    await send(q);
    busy = false;
    if (next !== null) {
      const q = next;
      next = null;
      go(q);
    }
  };
  return (q) => {
    if (busy) next = q;
    else go(q);
  };
}

// How long a finger rests before the band is asked for, ms.
const rest = 150;

/** @param {HTMLFormElement} form */
function start(form) {
  const address = form.dataset.whatIf ?? "";
  /** @param {string} selector */
  const find = (selector) => /** @type {HTMLElement} */ (form.querySelector(selector));
  const whole = find("[data-whole]");
  /** @type {AbortController | null} */
  let banding = null;
  let timer = 0;

  /** @param {Answer} a */
  const draw = (a) => {
    form.dataset.of = a.of;
    for (const path of form.querySelectorAll("[data-path]")) {
      const name = /** @type {HTMLElement | SVGElement} */ (path).dataset.path ?? "";
      path.setAttribute("d", /** @type {Record<string, any>} */ (a)[name] ?? "");
    }
    find("[data-same]").textContent = a.same;
    find("[data-where]").textContent = a.where;
    const refused = find("[data-refused]");
    refused.textContent = a.refused;
    refused.hidden = a.refused === "";
    find("[data-notes]").replaceChildren(
      ...a.notes.map((text) => {
        const li = document.createElement("li");
        li.textContent = text;
        return li;
      }),
    );
    find("[data-notes-box]").hidden = a.notes.length === 0;
  };

  /** @param {unknown} e */
  const fail = (e) => {
    const refused = find("[data-refused]");
    refused.textContent = e instanceof Error ? e.message : String(e);
    refused.hidden = false;
  };

  // A screen reader hears the sentence with its band, when the finger rests.
  const band = async () => {
    banding?.abort();
    banding = new AbortController();
    const mine = banding;
    try {
      const q = question(/** @type {any} */ (new FormData(form)), form.dataset.of ?? "");
      const a = await ask(`${address}?${q}&band=1`, { signal: mine.signal });
      if (mine === banding) {
        whole.textContent = a.whole;
        form.dataset.band = "there";
      }
    } catch (e) {
      if (!mine.signal.aborted) fail(e);
    }
  };

  const move = latest(async (q) => {
    try {
      const a = await ask(`${address}?${q}`);
      draw(a);
      whole.setAttribute("aria-busy", "true");
      whole.textContent = a.whole;
    } catch (e) {
      fail(e);
    }
  });

  const asked = () => {
    banding?.abort();
    delete form.dataset.band;
    move(question(/** @type {any} */ (new FormData(form)), form.dataset.of ?? ""));
    clearTimeout(timer);
    timer = window.setTimeout(() => {
      whole.removeAttribute("aria-busy");
      band();
    }, rest);
  };

  form.addEventListener("input", (e) => {
    const field = /** @type {HTMLInputElement} */ (e.target);
    const out = field.parentElement?.querySelector("output");
    if (out && field.dataset.unit !== undefined)
      out.textContent = amountWords(Number(field.value), field.dataset.unit);
    asked();
  });
  form.addEventListener("submit", (e) => {
    e.preventDefault();
    asked();
  });
  find("[data-ask]").hidden = true;
  find("[data-reset]").addEventListener("click", (e) => {
    e.preventDefault();
    for (const field of form.querySelectorAll("input[data-unit]")) {
      /** @type {HTMLInputElement} */ (field).value = "0";
      field.dispatchEvent(new Event("input", { bubbles: true }));
    }
  });
  form.dataset.started = "";
}

/**
 * Follows the work on the estimate and shows the page anew when it is done, unless
 * somebody is at the sliders.
 * @param {HTMLElement} box
 */
function follow(box) {
  followWork(
    box,
    box.dataset.worthJob ?? "",
    (doing) => `Worth is being worked out: ${doing}`,
    (doing) => {
      /** @type {NodeListOf<HTMLInputElement>} */
      const moved = document.querySelectorAll("form[data-what-if] input[data-unit]");
      if ([...moved].some((field) => field.value !== "0")) {
        doing.textContent = "Worth is ready. Look again to see it.";
      } else {
        location.reload();
      }
    },
  );
}

if (typeof document !== "undefined") {
  const form = document.querySelector("form[data-what-if]");
  if (form) start(/** @type {HTMLFormElement} */ (form));
  const box = document.querySelector("[data-worth-job]");
  if (box) follow(/** @type {HTMLElement} */ (box));
}
