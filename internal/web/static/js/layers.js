// @ts-check
// Switches what is drawn on the stills of a page: at once here, kept by the server.
// Without this script the form does the same with its button.

/**
 * Switches one layer in every drawing and the words that explain it.
 * @param {ParentNode} root
 * @param {string} id of the layer
 * @param {boolean} on
 */
export function showLayer(root, id, on) {
  for (const g of root.querySelectorAll(`[data-layer="${id}"]`)) {
    if (on) g.removeAttribute("display");
    else g.setAttribute("display", "none");
  }
  for (const words of root.querySelectorAll(`[data-layer-words="${id}"]`)) {
    words.toggleAttribute("hidden", !on);
  }
}

/**
 * The switch that a key press means: a digit pressed outside fields, without other keys.
 * @param {{ key: string, ctrlKey: boolean, altKey: boolean, metaKey: boolean }} event
 * @param {string} field name of the element that has the focus, upper case
 * @param {string} kind type of that field, "" where it has none
 * @returns {number} index of the switch, -1 for none
 */
export function switchOf(event, field, kind) {
  if (event.ctrlKey || event.altKey || event.metaKey) return -1;
  if (field === "SELECT" || field === "TEXTAREA") return -1;
  if (field === "INPUT" && kind !== "checkbox" && kind !== "radio" && kind !== "range") return -1;
  return /^[1-9]$/.test(event.key) ? Number(event.key) - 1 : -1;
}

/**
 * Lets a form of switches work on the drawings of a page.
 * @param {HTMLFormElement} form
 * @param {Document} page
 */
export function followSwitches(form, page) {
  const boxes = [...form.querySelectorAll("input")].filter((b) => b.type === "checkbox");
  for (const button of form.querySelectorAll("[data-without-script]")) button.remove();
  const apply = () => {
    for (const b of boxes) showLayer(page, b.value, b.checked);
  };
  apply(); // a page that the browser brought back has the boxes as they were left
  form.addEventListener("change", () => {
    apply();
    void keep(form);
  });
  page.addEventListener("keydown", (event) => {
    const at = page.activeElement;
    const kind = at instanceof HTMLInputElement ? at.type : "";
    const box = boxes[switchOf(event, at?.tagName ?? "", kind)];
    if (!box) return;
    event.preventDefault();
    box.click();
  });
}

/**
 * Keeps the switches for the next page. When that fails the page still shows what was
 * chosen, and the next change tries again.
 * @param {HTMLFormElement} form
 */
async function keep(form) {
  const body = new URLSearchParams();
  for (const [name, value] of new FormData(form)) body.append(name, String(value));
  try {
    await fetch(form.action, { method: "POST", body, redirect: "manual" });
  } catch {
    // the program was stopped: nothing to keep it in
  }
}

if (typeof document !== "undefined") {
  const form = document.querySelector("form[data-layers]");
  if (form instanceof HTMLFormElement) followSwitches(form, document);
}
