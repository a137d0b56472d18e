// @ts-check
// The print button of the retest page.

import { offerPrint } from "./print.js";

if (typeof document !== "undefined") {
  offerPrint();
}
