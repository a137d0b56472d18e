// @ts-check
// Pages of practice: they work without scripts but for the button that prints.

import { offerPrint } from "./print.js";

offerPrint();
