// @ts-check
import assert from "node:assert/strict";
import test from "node:test";
import { addressOf } from "../static/js/filming.js";
import { sizeOf } from "../static/js/ribbon.js";

test("a run lies between its frames", () => {
  assert.deepEqual(sizeOf("0", "100", 101), { x: 0, width: 1000 });
  assert.deepEqual(sizeOf("25", "75", 101), { x: 250, width: 500 });
});

test("what is no run has no width", () => {
  for (const [from, to] of [
    ["", "50"],
    ["20", ""],
    ["60", "50"],
    ["-1", "50"],
    ["0", "101"],
    ["a", "b"],
  ]) {
    assert.equal(sizeOf(from, to, 101).width, 0, `${from} to ${to}`);
  }
});

test("a card's address leaves out what is empty", () => {
  /** @type {[string, string][]} */
  const fields = [
    ["fps", " 120 "],
    ["light", ""],
    ["shutter_s", "1/500"],
  ];
  assert.equal(addressOf(fields), "/filming-card?fps=120&shutter_s=1%2F500");
});
