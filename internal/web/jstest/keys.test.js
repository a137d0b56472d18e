// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { heightScale, placeAt } from "../static/js/course.js";
import { commandOf } from "../static/js/keys.js";
import { missing } from "../static/js/scale.js";

/** @param {string} key @param {Partial<import("../static/js/keys.js").KeyPress>} [held] */
const press = (key, held) => ({
  key,
  shiftKey: false,
  altKey: false,
  ctrlKey: false,
  metaKey: false,
  ...held,
});

const landmarkKeys = { h: "hip", 7: "toe" };

test("arrow keys move by one, ten or a quarter of a pixel", () => {
  assert.deepEqual(commandOf(press("ArrowUp"), {}), { do: "nudge", x: 0, y: -1 });
  assert.deepEqual(commandOf(press("ArrowRight", { shiftKey: true }), {}), {
    do: "nudge",
    x: 10,
    y: 0,
  });
  assert.deepEqual(commandOf(press("ArrowLeft", { altKey: true }), {}), {
    do: "nudge",
    x: -0.25,
    y: 0,
  });
});

test("landmark keys choose", () => {
  assert.deepEqual(commandOf(press("h"), landmarkKeys), { do: "choose", landmark: "hip" });
  assert.deepEqual(commandOf(press("7"), landmarkKeys), { do: "choose", landmark: "toe" });
});

test("undo and redo by the usual keys, other keys of the system are left alone", () => {
  assert.deepEqual(commandOf(press("z", { ctrlKey: true }), {}), { do: "undo" });
  assert.deepEqual(commandOf(press("Z", { metaKey: true, shiftKey: true }), {}), { do: "redo" });
  assert.deepEqual(commandOf(press("y", { ctrlKey: true }), {}), { do: "redo" });
  assert.equal(commandOf(press("r", { ctrlKey: true }), { r: "rib" }), null);
  assert.equal(commandOf(press("h", { altKey: true }), landmarkKeys), null);
  assert.equal(commandOf(press("Tab"), landmarkKeys), null);
});

test("a scale says what it still needs", () => {
  const square = [
    { x: 0, y: 0 },
    { x: 9, y: 0 },
    { x: 9, y: 9 },
    { x: 0, y: 9 },
  ];
  assert.match(missing("length", [], ["5"]), /2 more points/);
  assert.match(missing("length", square.slice(0, 2), [""]), /length in metres/);
  assert.equal(missing("length", square.slice(0, 2), ["5,00"]), "");
  assert.match(
    missing("rectangle", [square[0], square[2], square[1], square[3]], ["1", "1"]),
    /cross/,
  );
  assert.match(missing("rectangle", square, ["2", "0"]), /width and height/);
  assert.equal(missing("rectangle", square, ["2", "1.5"]), "");
});

test("a click on the course finds its frame, also at the very edge", () => {
  assert.equal(placeAt(0, 100, 10), 0);
  assert.equal(placeAt(99.9, 100, 10), 9);
  assert.equal(placeAt(100, 100, 10), 9);
  assert.equal(placeAt(55, 100, 10), 5);
});

test("heights fill the room between the margins, lowest number on top", () => {
  const y = heightScale([200, 300], 84);
  assert.equal(y(200), 8);
  assert.equal(y(300), 76);
});
