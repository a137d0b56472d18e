// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { sizeWords } from "../static/js/bring_in.js";
import {
  distance,
  isConvex,
  nearest,
  nextUnmarked,
  pathThrough,
  typedNumber,
} from "../static/js/measure.js";

test("distance of a 3-4-5 triangle", () => {
  assert.equal(distance({ x: 1, y: 2 }, { x: 4, y: 6 }), 5);
});

test("nearest within reach", () => {
  const points = [
    { x: 0, y: 0 },
    { x: 10, y: 0 },
  ];
  assert.equal(nearest(points, { x: 7, y: 1 }, 5), 1);
  assert.equal(nearest(points, { x: 7, y: 9 }, 5), -1);
  assert.equal(nearest([], { x: 0, y: 0 }, 5), -1);
});

test("a rectangle in perspective is convex, crossed or hollow ones are not", () => {
  const corners = [
    { x: 0, y: 0 },
    { x: 9, y: 1 },
    { x: 8, y: 6 },
    { x: 1, y: 7 },
  ];
  assert.ok(isConvex(corners));
  assert.ok(isConvex([...corners].reverse()));
  assert.ok(!isConvex([corners[0], corners[2], corners[1], corners[3]]));
  assert.ok(!isConvex([corners[0], corners[1], { x: 2, y: 2 }, corners[3]]));
  assert.ok(!isConvex(corners.slice(1)));
});

test("typed numbers take a point or a comma and nothing else", () => {
  assert.equal(typedNumber(" 5.25 "), 5.25);
  assert.equal(typedNumber("2,5"), 2.5);
  for (const text of ["", "five", "1e3", "1.2.3", "5 m"])
    assert.ok(Number.isNaN(typedNumber(text)), text);
});

test("after a mark comes the next landmark without one, going round", () => {
  const order = ["shoulder", "hip", "knee", "toe"];
  const marked = new Set(["hip"]);
  const has = (/** @type {string} */ l) => marked.has(l);
  assert.equal(nextUnmarked(order, "shoulder", has), "knee");
  assert.equal(nextUnmarked(order, "toe", has), "shoulder");
  for (const l of order) marked.add(l);
  assert.equal(nextUnmarked(order, "knee", has), "knee");
});

test("a path is broken where nothing is known", () => {
  assert.equal(
    pathThrough([{ x: 0, y: 1 }, { x: 2, y: 3 }, null, { x: 4, y: 5 }]),
    "M0.0 1.0L2.0 3.0M4.0 5.0",
  );
});

test("file sizes in words", () => {
  assert.equal(sizeWords(12), "1 kB");
  assert.equal(sizeWords(84_300_000), "84 MB");
  assert.equal(sizeWords(2_460_000_000), "2.5 GB");
});
