// @ts-check

import { offerPrint } from "./print.js";

/**
 * The strokes whose surface speed a plan of an event needs.
 * @param {string} stroke the event's stroke
 * @returns {string[]}
 */
export function strokesOf(stroke) {
  if (stroke === "medley") {
    return ["freestyle", "backstroke", "butterfly"];
  }
  return stroke === "breaststroke" ? [] : [stroke];
}

/**
 * Shows only the surface speeds that the chosen event needs. Hidden fields keep
 * their values.
 * @param {HTMLFormElement} form
 */
function followStroke(form) {
  const choice = form.querySelector("#stroke");
  if (!(choice instanceof HTMLSelectElement)) {
    return;
  }
  const show = () => {
    const needed = strokesOf(choice.value);
    for (const field of form.querySelectorAll("[data-stroke]")) {
      if (field instanceof HTMLElement) {
        field.hidden = !needed.includes(field.dataset.stroke ?? "");
      }
    }
  };
  choice.addEventListener("change", show);
  show();
}

/** Begins on a page. */
function begin() {
  for (const form of document.querySelectorAll("form[data-walls]")) {
    if (form instanceof HTMLFormElement) {
      followStroke(form);
    }
  }
  offerPrint();
}

if (typeof document !== "undefined") {
  begin();
}
