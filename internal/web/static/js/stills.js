// @ts-check
// The page of stills: its choices take effect at once, and it prints.

import { offerPrint } from "./print.js";

offerPrint();
const choices = document.querySelector(".stills-choice");
if (choices instanceof HTMLFormElement) {
  choices.addEventListener("change", () => choices.requestSubmit());
}
