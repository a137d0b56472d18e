// @ts-check
// The runs of a clip: the ends of a run are drawn along the motion ribbon, or typed;
// both show the frame that they name. Without this script the fields do it alone.

import { sizeOf } from "./ribbon.js";

/** How near to an end, px, the pointer must be to take it. */
const reach = 24;

/**
 * @param {HTMLFormElement} form
 * @param {SVGSVGElement} ribbon
 */
function start(form, ribbon) {
  const frames = Number(ribbon.dataset.frames);
  const clip = form.dataset.clip ?? "";
  /** @param {string} name */
  const field = (name) => /** @type {HTMLInputElement} */ (form.elements.namedItem(name));
  const runs = /** @type {SVGRectElement[]} */ ([...ribbon.querySelectorAll("[data-run]")]);

  /** @param {SVGRectElement} rect */
  const place = (rect) => {
    const n = rect.dataset.run;
    const at = sizeOf(field(`from_${n}`).value, field(`to_${n}`).value, frames);
    rect.setAttribute("x", String(at.x));
    rect.setAttribute("width", String(at.width));
  };
  for (const rect of runs) place(rect);

  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let later;
  /** @param {HTMLInputElement} input */
  const changed = (input) => {
    const n = input.name.split("_")[1];
    const rect = runs.find((r) => r.dataset.run === n);
    if (rect) place(rect);
    const keep = field(`keep_${n}`);
    if (keep && input.value !== input.defaultValue) keep.checked = true;
    clearTimeout(later);
    later = setTimeout(() => {
      const img = form.querySelector(`[data-end="${input.name}"]`);
      if (img instanceof HTMLImageElement && input.value !== "" && input.validity.valid) {
        img.src = `/clip/${clip}/frame/${Number(input.value)}.jpg`;
      }
    }, 250);
  };
  form.addEventListener("input", (e) => {
    const t = e.target;
    if (t instanceof HTMLInputElement && t.type === "number") changed(t);
  });

  /** @type {HTMLInputElement | null} */
  let drawn = null;
  /** @param {PointerEvent} e */
  const frameAt = (e) => {
    const box = ribbon.getBoundingClientRect();
    const share = Math.min(Math.max((e.clientX - box.left) / box.width, 0), 1);
    return Math.round(share * (frames - 1));
  };
  ribbon.classList.add("movable");
  ribbon.addEventListener("pointerdown", (e) => {
    const box = ribbon.getBoundingClientRect();
    let nearest = reach;
    for (const rect of runs) {
      for (const end of ["from", "to"]) {
        const input = field(`${end}_${rect.dataset.run}`);
        if (input.value === "") continue;
        const x = box.left + (box.width * Number(input.value)) / (frames - 1);
        const off = Math.abs(e.clientX - x);
        if (off < nearest) {
          nearest = off;
          drawn = input;
        }
      }
    }
    if (drawn) {
      ribbon.setPointerCapture(e.pointerId);
      e.preventDefault();
    }
  });
  ribbon.addEventListener("pointermove", (e) => {
    if (!drawn) return;
    drawn.value = String(frameAt(e));
    changed(drawn);
  });
  for (const end of ["pointerup", "pointercancel"]) {
    ribbon.addEventListener(end, () => {
      drawn = null;
    });
  }
}

if (typeof document !== "undefined") {
  const form = document.querySelector("form[data-runs]");
  const ribbon = document.querySelector("svg.ribbon");
  if (form instanceof HTMLFormElement && ribbon instanceof SVGSVGElement) start(form, ribbon);
  for (const img of document.querySelectorAll("[data-thumb]")) {
    if (img instanceof HTMLImageElement) {
      const gone = () => {
        img.hidden = true;
      };
      if (img.complete && img.naturalWidth === 0) gone();
      img.addEventListener("error", gone);
    }
  }
}
