// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { alike, layMatrix, turnBetween } from "../static/js/earlier.js";

/** @param {number[]} m @param {number[]} p */
const map = (m, p) => [m[0] * p[0] + m[2] * p[1] + m[4], m[1] * p[0] + m[3] * p[1] + m[5]];

/** @param {number[]} a @param {number[]} b */
function close(a, b) {
  assert.ok(Math.hypot(a[0] - b[0], a[1] - b[1]) < 1e-9, `${a} is not ${b}`);
}

const foot = { toe: [100, 200], ankle: [140, 180] };
const far = { clip: "c", frame: 5, on: "3 May 2026", toe: [10, 60], ankle: [30, 60], left: false };

test("the landmark comes to the middle, the foot lies as on this frame", () => {
  const found = { address: "", on: "", toe: far.toe, ankle: far.ankle };
  const m = layMatrix(found, foot, "toe", 6, 60);
  close(map(m, found.toe), [60, 60]);
  close(map(m, found.ankle), [60 + 6 * 40, 60 - 6 * 20]);
});

test("a mirrored foot too, its sole on the right side", () => {
  const found = { address: "", on: "", toe: [30, 60], ankle: [10, 60], mirrored: true };
  const m = layMatrix(found, foot, "ankle", 2, 60);
  close(map(m, found.ankle), [60, 60]);
  close(map(m, found.toe), [60 - 2 * 40, 60 + 2 * 20]);
  assert.ok(m[0] * m[3] - m[1] * m[2] < 0, "mirrored");
});

test("without a foot on this frame nothing is turned or sized", () => {
  const found = { address: "", on: "", toe: far.toe, ankle: far.ankle };
  assert.deepEqual(layMatrix(found, null, "toe", 6, 60), [6, 0, -0, 6, 0, -300]);
});

test("the feet held most alike are taken, of another run and of this one", () => {
  const steep = { ...far, frame: 9, ankle: [10, 40] };
  const own = [
    { address: "own1", on: "this run", toe: [0, 0], ankle: [1, 30] },
    { address: "own2", on: "this run", toe: [0, 0], ankle: [40, -19] },
  ];
  const found = alike([steep, far], own, foot);
  assert.deepEqual(
    found.map((f) => f.address),
    ["/clip/c/frame/5.jpg", "own2"],
  );
  assert.deepEqual(
    alike([steep, far], [], foot).map((f) => f.address),
    ["/clip/c/frame/5.jpg", "/clip/c/frame/9.jpg"],
  );
  assert.equal(alike([{ ...far, left: true }], [], foot)[0].mirrored, true);
  assert.deepEqual(alike([], [], null), []);
});

test("turns are measured the short way round", () => {
  assert.ok(Math.abs(turnBetween(3, -3) - (2 * Math.PI - 6)) < 1e-12);
});
