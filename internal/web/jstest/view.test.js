// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import {
  fit,
  keepInside,
  panBy,
  pinch,
  reveal,
  toPicture,
  toScreen,
  withinPicture,
  zoomAt,
} from "../static/js/view.js";

const picture = { width: 1280, height: 720 };
const stage = { width: 900, height: 600 };

/** @param {{x: number, y: number}} a @param {{x: number, y: number}} b */
function close(a, b) {
  assert.ok(
    Math.hypot(a.x - b.x, a.y - b.y) < 1e-9,
    `${JSON.stringify(a)} is not ${JSON.stringify(b)}`,
  );
}

test("the fitted view shows all four corners and centres the picture", () => {
  const v = fit(picture, stage);
  assert.equal(v.scale, 900 / 1280);
  close(toScreen(v, { x: 0, y: 0 }), { x: 0, y: (600 - 720 * v.scale) / 2 });
  const end = toScreen(v, { x: 1280, y: 720 });
  assert.ok(end.x <= 900 + 1e-9 && end.y <= 600 + 1e-9);
});

test("screen and picture are each other's inverse", () => {
  const v = { scale: 3.7, left: -412.5, top: -90.25 };
  for (const p of [
    { x: 0.5, y: 0.5 },
    { x: 777.25, y: 12 },
  ])
    close(toPicture(v, toScreen(v, p)), p);
});

test("zooming keeps the point under the cursor", () => {
  let v = fit(picture, stage);
  const at = { x: 450, y: 300 };
  const before = toPicture(v, at);
  v = zoomAt(v, 5, at, picture, stage);
  close(toPicture(v, at), before);
});

test("zoom ends at the whole picture and at 16 px per px", () => {
  const at = { x: 10, y: 10 };
  assert.deepEqual(zoomAt(fit(picture, stage), 0.1, at, picture, stage), fit(picture, stage));
  assert.equal(zoomAt(fit(picture, stage), 1e6, at, picture, stage).scale, 16);
});

test("the picture cannot be pushed off the stage", () => {
  const v = zoomAt(fit(picture, stage), 4, { x: 450, y: 300 }, picture, stage);
  for (const by of [
    { x: 1e6, y: 1e6 },
    { x: -1e6, y: -1e6 },
  ]) {
    const moved = panBy(v, by, picture, stage);
    const a = toScreen(moved, { x: 0, y: 0 });
    const b = toScreen(moved, { x: 1280, y: 720 });
    assert.ok(a.x <= 1e-9 && a.y <= 1e-9 && b.x >= 900 - 1e-9 && b.y >= 600 - 1e-9);
  }
});

test("reveal brings a point inside the margin and leaves a visible one alone", () => {
  const v = keepInside({ scale: 3, left: 0, top: 0 }, picture, stage);
  assert.deepEqual(reveal(v, { x: 100, y: 100 }, 40, picture, stage), v);
  const s = toScreen(reveal(v, { x: 800, y: 500 }, 40, picture, stage), { x: 800, y: 500 });
  assert.ok(s.x >= 40 && s.x <= 860 && s.y >= 40 && s.y <= 560);
});

test("points are kept within the picture", () => {
  assert.deepEqual(withinPicture({ x: -3, y: 900 }, picture), { x: 0, y: 720 });
});

test("what lies between two fingers stays between them", () => {
  const before = zoomAt(fit(picture, stage), 5, { x: 450, y: 300 }, picture, stage);
  const other = { x: 400, y: 310 };
  const from = { x: 500, y: 290 };
  const to = { x: 540, y: 250 };
  const after = pinch(before, other, from, to, picture, stage);
  const middle = (/** @type {{x: number, y: number}} */ p) => ({
    x: (p.x + other.x) / 2,
    y: (p.y + other.y) / 2,
  });
  close(toPicture(before, middle(from)), toPicture(after, middle(to)));
  assert.ok(
    Math.abs(after.scale / before.scale - Math.hypot(140, 60) / Math.hypot(100, 20)) < 1e-9,
    "and the picture grows as the fingers part",
  );
});
