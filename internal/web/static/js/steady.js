// @ts-check
// Follows the work that steadies a run and shows the page anew when it is done.

import { ask } from "./server.js";

/** @param {HTMLElement} box */
function follow(box) {
  const doing = /** @type {HTMLElement} */ (box.querySelector("[data-doing]"));
  const bar = /** @type {HTMLProgressElement} */ (box.querySelector("progress"));
  const look = async () => {
    const job = await ask(box.dataset.steadyJob ?? "").catch(() => null);
    if (job && job.state !== "waiting" && job.state !== "running") {
      location.reload();
      return;
    }
    if (job) {
      doing.textContent = job.doing;
      bar.value = job.fraction;
    }
    setTimeout(look, 700);
  };
  look();
}

const box = document.querySelector("[data-steady-job]");
if (box) follow(/** @type {HTMLElement} */ (box));
