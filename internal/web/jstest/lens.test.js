// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { linesText, missingPoints } from "../static/js/lens.js";

/** @param {number} n */
const line = (n) => Array.from({ length: n }, (_, i) => ({ x: 100 * i + 0.123, y: 40 }));

test("a line needs five points", () => {
  assert.match(missingPoints([[]]), /something straight/);
  assert.equal(missingPoints([line(4)]), "Line 1 needs 1 more point.");
  assert.equal(missingPoints([line(5), line(2)]), "Line 2 needs 3 more points.");
  assert.equal(missingPoints([line(5)]), "");
});

test("a line that was not begun does not count", () => {
  assert.equal(missingPoints([line(6), []]), "");
  assert.equal(linesText([line(2), []]), "[[[0.12,40],[100.12,40]]]");
});
