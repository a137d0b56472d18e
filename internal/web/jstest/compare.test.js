import assert from "node:assert/strict";
import { test } from "node:test";
import { bodyPath, corners } from "../static/js/compare_figures.js";
import { wholePx } from "../static/js/compare_film.js";
import {
  advance,
  between,
  nearest,
  phaseAt,
  phaseWords,
  placesOf,
  timeAt,
} from "../static/js/phase_axis.js";
import { fittingWidth, PictureStore } from "../static/js/phase_pictures.js";

const kick = { number: 1, start: 2, bottom: 2.2, end: 2.6 };

test("phase runs through top, bottom and next top, and back to time", () => {
  for (const [t, phase] of [
    [2, 0],
    [2.1, 0.25],
    [2.2, 0.5],
    [2.4, 0.75],
    [2.6, 1],
  ]) {
    assert.ok(Math.abs(phaseAt(kick, t) - phase) < 1e-12);
    assert.ok(Math.abs(timeAt(kick, phase) - t) < 1e-12);
  }
});

test("the nearest picture is within half a frame at any rate, even an uneven one", () => {
  const even = Array.from({ length: 200 }, (_, i) => i / 60);
  const uneven = Array.from({ length: 200 }, (_, i) => i / 60 + 0.004 * Math.sin(i));
  for (const times of [even, uneven]) {
    for (let t = 0; t <= times[199]; t += 0.0007) {
      const i = nearest(times, t);
      const best = times.reduce((b, x, k) => (Math.abs(x - t) < Math.abs(times[b] - t) ? k : b), 0);
      assert.ok(Math.abs(times[i] - t) <= Math.abs(times[best] - t) + 1e-12);
    }
  }
  assert.equal(nearest([1, 2, 3], -5), 0);
  assert.equal(nearest([1, 2, 3], 50), 2);
  assert.equal(nearest([7], 1), 0);
});

test("a kick's pictures reach from its start to its end", () => {
  const times = Array.from({ length: 100 }, (_, i) => 1.9 + i / 100);
  const places = placesOf(times, kick);
  assert.equal(places[0], 10);
  assert.equal(places[places.length - 1], 70);
  assert.equal(places.length, 61);
});

test("playing moves by the leading kick's time, over its end into the next turn and round", () => {
  const next = { number: 2, start: 2.6, bottom: 2.9, end: 3.0 };
  assert.ok(Math.abs(advance(0, 0.1, [kick]) - 0.25) < 1e-9);
  assert.ok(Math.abs(advance(0.5, 0.2, [kick]) - 0.75) < 1e-9);
  assert.ok(Math.abs(advance(0.75, 0.3, [kick]) - 0.25) < 1e-9, "a kick alone starts anew");
  assert.ok(Math.abs(advance(0.75, 0.35, [kick, next]) - 1.25) < 1e-9);
  assert.ok(
    Math.abs(advance(1.5, 0.2, [kick, next]) - 0.25) < 1e-9,
    "after the last turn the first",
  );
  // A long way is walked kick by kick: 0.6 s and 0.4 s make a round.
  assert.ok(Math.abs(advance(0, 10, [kick, next])) < 1e-6);
});

test("the phase is told in words", () => {
  assert.equal(phaseWords(0), "downkick, 0 %");
  assert.equal(phaseWords(0.25), "downkick, 50 %");
  assert.equal(phaseWords(0.75), "upkick, 50 %");
  assert.equal(phaseWords(1), "upkick, 100 %");
});

test("values between samples are linear, and not known beside a gap", () => {
  assert.equal(between([0, 1, 2], [0, 10, 20], 0.5), 5);
  assert.equal(between([0, 1, 2], [0, 10, 20], 2), 20);
  assert.ok(Number.isNaN(between([0, 1, 2], [0, null, 20], 1.5)));
  assert.ok(Number.isNaN(between([0, 1, 2], [0, 10, 20], 3)));
});

test("a body is a path in the picture's directions", () => {
  const figure = {
    times: [0, 1],
    points: { hip: { x: [0, 0], y: [0, 0] }, knee: { x: [-0.3, -0.3], y: [0.1, 0.3] } },
  };
  assert.equal(bodyPath(figure, 0.5, ["hip", "knee", "toe"], 100), "M0.0 0.0L-30.0 -20.0");
  assert.deepEqual(corners("M0.0 0.0L-30.0 -20.5"), [
    { x: 0, y: 0 },
    { x: -30, y: -20.5 },
  ]);
});

test("a window is cut at whole px and put back where it lies", () => {
  const c = wholePx(10.25, 20.5, 100, 50);
  assert.deepEqual([c.x, c.y, c.w, c.h], [10, 20, 101, 51]);
  assert.ok(Math.abs(c.dx * 100 - -0.25) < 1e-12);
  assert.ok(Math.abs((c.dx + c.dw) * 100 - 100.75) < 1e-9);
});

test("kept pictures fit their bound, whatever their number", () => {
  assert.equal(fittingWidth(560, 2, 40, 192 << 20), 560, "few pictures are as wide as shown");
  for (const n of [100, 500, 2000]) {
    const w = fittingWidth(1600, 2, n, 192 << 20);
    assert.ok(n * 4 * w * (w / 2) <= (192 << 20) * 1.01 || w === 160, `${n} pictures of ${w} px`);
  }
});

/** @param {number} side */
function made(side) {
  const p = { width: side, height: side, closed: 0, close: () => p.closed++ };
  return p;
}

test("the store reads in order, a few at once, and closes what is not wanted any more", async () => {
  /** @type {string[]} */
  const asked = [];
  /** @type {Map<string, ReturnType<typeof made>>} */
  const all = new Map();
  const store = new PictureStore(
    async (key) => {
      asked.push(key);
      await new Promise((r) => setTimeout(r));
      const p = made(10);
      all.set(key, p);
      return p;
    },
    { atOnce: 2 },
  );
  store.want(["a", "b", "c", "d"]);
  assert.deepEqual(asked, ["a", "b"]);
  while (store.ready() < 4) await new Promise((r) => setTimeout(r, 2));
  assert.deepEqual(asked, ["a", "b", "c", "d"]);
  assert.equal(store.bytes, 4 * 400);
  store.want(["d", "e"]);
  assert.equal(store.bytes, 400);
  assert.equal(all.get("a")?.closed, 1);
  assert.equal(all.get("d")?.closed, 0);
  while (store.ready() < 2) await new Promise((r) => setTimeout(r, 2));
  store.want([]);
  assert.equal(store.bytes, 0);
  assert.ok([...all.values()].every((p) => p.closed === 1));
});

test("a picture that comes too late is closed, one that fails is tried three times", async () => {
  const late = made(5);
  /** @type {(v: unknown) => void} */
  let arrive = () => {};
  const store = new PictureStore(async () => {
    await new Promise((r) => {
      arrive = r;
    });
    return late;
  });
  store.want(["x"]);
  store.want([]);
  arrive(null);
  await new Promise((r) => setTimeout(r, 5));
  assert.equal(late.closed, 1);
  assert.equal(store.bytes, 0);

  let tries = 0;
  const failing = new PictureStore(async () => {
    tries++;
    throw new Error("no");
  });
  failing.want(["y"]);
  await new Promise((r) => setTimeout(r, 20));
  assert.equal(tries, 3);
  failing.again();
  await new Promise((r) => setTimeout(r, 20));
  assert.equal(tries, 6);
});
