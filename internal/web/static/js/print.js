// @ts-check
// The button that prints a page; without scripts it stays hidden.

/** Shows the print button of a page that has one. */
export function offerPrint() {
  const print = document.querySelector("[data-print]");
  if (print instanceof HTMLButtonElement) {
    print.hidden = false;
    print.addEventListener("click", () => window.print());
  }
}
