// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { doubtful, markedFrame, pointsOn, traceAt, withWaiting } from "../static/js/points.js";

const marks = [
  { frame: 4, landmark: "hip", x_px: 10, y_px: 20 },
  { frame: 9, landmark: "toe", x_px: 90, y_px: 25 },
];

/** @param {Partial<import("../static/js/points.js").Action>} a */
const action = (a) => ({
  do: /** @type {const} */ ("place"),
  frame: 4,
  landmark: "hip",
  x_px: 0,
  y_px: 0,
  ...a,
});

test("waiting actions are seen before they are saved", () => {
  const seen = withWaiting("frame", marks, [
    action({ x_px: 11, y_px: 21 }),
    action({ do: "delete", frame: 9, landmark: "toe" }),
    action({ landmark: "knee", x_px: 50, y_px: 22 }),
  ]);
  assert.deepEqual(seen, [
    { frame: 4, landmark: "hip", x_px: 11, y_px: 21, saved: false },
    { frame: 4, landmark: "knee", x_px: 50, y_px: 22, saved: false },
  ]);
  assert.equal(withWaiting("frame", marks, [action({ do: "undo" })]).length, 2);
});

const trace = { from: 3, x_px: [1, null, 3], y_px: [4, null, 6], sd_px: [0.5, null, null] };

test("a trace is known only where it has numbers", () => {
  assert.deepEqual(traceAt(trace, 3), { x: 1, y: 4, sd: 0.5 });
  assert.deepEqual(traceAt(trace, 5), { x: 3, y: 6, sd: 0 });
  for (const frame of [2, 4, 6]) assert.equal(traceAt(trace, frame), null);
  assert.equal(traceAt(undefined, 3), null);
});

test("a mark takes the place of its guess", () => {
  const points = pointsOn(
    withWaiting("frame", marks, []),
    { hip: { ...trace, from: 4 }, knee: { ...trace, from: 4 } },
    4,
  );
  assert.deepEqual(
    points.map((p) => [p.landmark, p.marked]),
    [
      ["hip", true],
      ["knee", false],
    ],
  );
});

test("doubt begins at 1.5 % of the body's length on the picture", () => {
  const point = { saved: true, marked: false, sd: 0, y: 0 };
  const body = [
    { ...point, landmark: "fingertip", x: 0 },
    { ...point, landmark: "toe", x: 700 },
  ];
  assert.ok(!doubtful(10.4, body));
  assert.ok(doubtful(10.6, body));
  assert.ok(!doubtful(10.6, []));
});

test("the next and the previous marked frame", () => {
  assert.equal(markedFrame(marks, 4, 1), 9);
  assert.equal(markedFrame(marks, 6, -1), 4);
  assert.equal(markedFrame(marks, 4, -1), null);
});
