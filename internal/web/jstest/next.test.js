// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { commandOf } from "../static/js/keys.js";
import { frameFor, leftOf, listed, shareWords } from "../static/js/next.js";

const next = { frame: 40, landmarks: ["toe", "ankle"], others: [12, 70], why: "" };

test("the frame asked for, unless it or its neighbour could not be marked", () => {
  assert.equal(frameFor(next, [], 2), 40);
  assert.equal(frameFor(next, [44], 2), 40);
  assert.equal(frameFor(next, [41], 2), 12);
  assert.equal(frameFor(next, new Set([41, 12]), 2), 70);
  assert.equal(frameFor(next, [40, 12, 70], 2), 40, "all refused: the first again");
  assert.equal(frameFor({ ...next, others: undefined }, [], 2), 40);
});

test("what is left of an ask", () => {
  assert.deepEqual(
    leftOf(next, (l) => l === "toe"),
    ["ankle"],
  );
  assert.deepEqual(
    leftOf(null, () => false),
    [],
  );
});

test("names and shares in words", () => {
  assert.equal(listed([]), "");
  assert.equal(listed(["toe"]), "toe");
  assert.equal(listed(["toe", "ankle", "knee"]), "toe, ankle and knee");
  assert.equal(shareWords(1), "enough");
  assert.equal(shareWords(0.999), "99 %", "never full before it is");
  assert.equal(shareWords(0), "0 %");
});

test("n asks for the next frame", () => {
  const press = { key: "n", shiftKey: false, altKey: false, ctrlKey: false, metaKey: false };
  assert.deepEqual(commandOf(press, { q: "fingertip" }), { do: "next-frame" });
});
