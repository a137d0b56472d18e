import assert from "node:assert/strict";
import { test } from "node:test";
import { madeFeet, nextPlace } from "../static/js/blind.js";
import { withWaiting } from "../static/js/points.js";

/** @param {number} side @param {string[]} [landmarks] */
const place = (side, landmarks = ["ankle", "toe"]) => ({
  picture: `/clip/${side}`,
  frame: 1,
  width: 100,
  height: 50,
  words: `run ${side}`,
  landmarks,
  side,
});
/** @param {number} at @param {string} landmark @param {number} [x] @param {number} [y] */
const mark = (at, landmark, x = 1, y = 2) => ({ place: at, landmark, x_px: x, y_px: y });

test("what waits is laid over what is saved", () => {
  const marks = withWaiting(
    "place",
    [mark(0, "toe"), mark(0, "ankle")],
    [
      { do: "place", ...mark(0, "toe", 9, 9) },
      { do: "delete", ...mark(0, "ankle") },
      { do: "undo", ...mark(0, "heel") },
    ],
  );
  assert.deepEqual(marks, [{ ...mark(0, "toe", 9, 9), saved: false }]);
});

test("the next place is the first that lacks a mark, round the end", () => {
  const places = [place(0), place(1), place(0)];
  const marks = [mark(1, "ankle"), mark(1, "toe"), mark(2, "ankle"), mark(2, "toe")];
  assert.equal(nextPlace(places, marks, 1), 0);
  assert.equal(nextPlace(places, [...marks, mark(0, "ankle"), mark(0, "toe")], 1), -1);
});

test("feet made nearby come beside the loupe, the other run's first and turned", () => {
  const places = [place(0), place(1), place(0), place(1)];
  /** @param {number} at @param {number} toeX */
  const foot = (at, toeX) => [mark(at, "ankle", 50, 10), mark(at, "toe", toeX, 10)];
  const found = madeFeet(places, [...foot(0, 20), ...foot(1, 80)], 2);
  assert.deepEqual(
    found.map((f) => [f.on, Boolean(f.mirrored)]),
    [
      ["run 1", true],
      ["run 0", false],
    ],
  );
  assert.deepEqual(madeFeet(places, foot(2, 20), 2), []);
});
