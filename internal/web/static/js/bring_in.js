// @ts-check
// Dropping a clip anywhere on the form, and a word while it is being copied.
// Without this script the file field and the form do the same.

/**
 * A file's size in words.
 * @param {number} bytes
 * @returns {string}
 */
export function sizeWords(bytes) {
  if (bytes < 1e6) return `${Math.max(1, Math.round(bytes / 1e3))} kB`;
  if (bytes < 1e9) return `${Math.round(bytes / 1e6)} MB`;
  return `${(bytes / 1e9).toFixed(1)} GB`;
}

/** @param {HTMLFormElement} form */
function start(form) {
  const box = /** @type {HTMLElement} */ (form.querySelector(".drop"));
  const field = /** @type {HTMLInputElement} */ (form.querySelector("input[type=file]"));
  const words = /** @type {HTMLElement} */ (form.querySelector("[data-chosen]"));
  const say = () => {
    const file = field.files?.[0];
    words.textContent = file ? `${file.name}, ${sizeWords(file.size)}` : "";
  };
  field.addEventListener("change", say);
  form.addEventListener("dragover", (e) => {
    e.preventDefault();
    box.classList.add("over");
  });
  form.addEventListener("dragleave", () => box.classList.remove("over"));
  form.addEventListener("drop", (e) => {
    e.preventDefault();
    box.classList.remove("over");
    if (e.dataTransfer?.files.length) field.files = e.dataTransfer.files;
    say();
  });
  form.addEventListener("submit", () => {
    words.textContent = "Copying the clip into the data folder";
    const button = /** @type {HTMLButtonElement} */ (form.querySelector("button"));
    setTimeout(() => {
      button.disabled = true;
    });
  });
}

if (typeof document !== "undefined") {
  const form = document.querySelector("form[data-bring-in]");
  if (form) start(/** @type {HTMLFormElement} */ (form));
}
