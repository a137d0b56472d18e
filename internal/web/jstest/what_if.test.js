import assert from "node:assert/strict";
import { test } from "node:test";
import { amountWords, latest, question } from "../static/js/what_if.js";

test("an amount is written with its sign and unit", () => {
  assert.equal(amountWords(5, "°"), "+5 °");
  assert.equal(amountWords(0, "cm"), "0 cm");
  assert.equal(amountWords(-3, "%"), "\u22123 %");
});

test("a question leaves out sliders that ask nothing, and the chosen kick", () => {
  /** @type {[string, string][]} */
  const fields = [
    ["kick", "2"],
    ["phase", "0"],
    ["foot", "5"],
    ["tempo", "0"],
  ];
  assert.equal(question(fields, "abc"), "of=abc&phase=0&foot=5");
});

test("one question is out at a time and only the last one waits", async () => {
  /** @type {string[]} */
  const sent = [];
  /** @type {(() => void)[]} */
  const done = [];
  const move = latest((q) => {
    sent.push(q);
    return new Promise((resolve) => done.push(resolve));
  });
  for (const q of ["a", "b", "c", "d"]) move(q);
  assert.deepEqual(sent, ["a"]);
  done[0]();
  await new Promise((r) => setTimeout(r));
  assert.deepEqual(sent, ["a", "d"]);
  done[1]();
  await new Promise((r) => setTimeout(r));
  move("e");
  assert.deepEqual(sent, ["a", "d", "e"]);
});
