// @ts-check
// Follows the work that steadies a run and shows the page anew when it is done.

import { followWork } from "./work.js";

const box = document.querySelector("[data-steady-job]");
if (box instanceof HTMLElement) {
  followWork(
    box,
    box.dataset.steadyJob ?? "",
    (doing) => doing,
    () => location.reload(),
  );
}
