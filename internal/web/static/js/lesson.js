// @ts-check
import { offerPrint } from "./print.js";

offerPrint();
