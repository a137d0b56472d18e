// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { neighbours, tooFar } from "../static/js/pictures.js";
import { pauseBefore, Refused, SavingLine } from "../static/js/saving.js";

/** @param {number} frame @returns {import("../static/js/points.js").Action} */
const action = (frame) => ({ do: "place", frame, landmark: "hip", x_px: 1, y_px: 2 });

/** Lets every settled promise run on. */
const settle = () => new Promise((done) => setImmediate(done));

/** @param {(frame: number) => Promise<number>} send */
function line(send) {
  /** @type {string[]} */
  const log = [];
  /** @type {(() => void)[]} */
  const later = [];
  const saving = new SavingLine({
    send: (a) => send(a.frame ?? -1),
    saved: (answer, left) => log.push(`saved ${answer}, ${left} left`),
    failed: (problem, ms) => log.push(`${problem.message}, again in ${ms}`),
    later: (run) => later.push(run),
  });
  return { saving, log, later };
}

test("actions are saved one by one and in order", async () => {
  let inFlight = 0;
  const { saving, log } = line(async (frame) => {
    inFlight += 1;
    assert.equal(inFlight, 1);
    await settle();
    inFlight -= 1;
    return frame;
  });
  for (const f of [7, 8, 9]) saving.add(action(f));
  assert.equal(saving.left, 3);
  for (let i = 0; i < 9; i++) await settle();
  assert.deepEqual(log, ["saved 7, 2 left", "saved 8, 1 left", "saved 9, 0 left"]);
});

test("a failed action stays first in line and is tried again", async () => {
  let up = false;
  const { saving, log, later } = line(async (frame) => {
    if (!up) throw new Error("no answer");
    return frame;
  });
  saving.add(action(1));
  await settle();
  saving.add(action(2));
  await settle();
  assert.deepEqual(log, ["no answer, again in 1000"]);
  assert.equal(saving.left, 2);
  later[0]();
  await settle();
  assert.deepEqual(log.slice(1), ["no answer, again in 2000"]);
  up = true;
  saving.retry();
  for (let i = 0; i < 4; i++) await settle();
  assert.deepEqual(log.slice(2), ["saved 1, 1 left", "saved 2, 0 left"]);
});

test("a refused action is dropped and the line goes on", async () => {
  const { saving, log } = line(async (frame) => {
    if (frame === 1) throw new Refused("outside the picture");
    return frame;
  });
  saving.add(action(1));
  saving.add(action(2));
  for (let i = 0; i < 4; i++) await settle();
  assert.deepEqual(log, ["outside the picture, again in 0", "saved 2, 0 left"]);
});

test("pauses double up to a quarter of a minute", () => {
  assert.deepEqual([1, 2, 3, 4, 5, 9].map(pauseBefore), [1000, 2000, 4000, 8000, 15000, 15000]);
});

test("neighbours come nearest first and stay within the run", () => {
  assert.deepEqual(neighbours(1, 4, 3), [2, 0, 3]);
  assert.deepEqual(neighbours(0, 1, 3), []);
});

test("the furthest pictures are let go", () => {
  assert.deepEqual(tooFar([1, 50, 9, 11], 10, 2), [1, 50]);
});
