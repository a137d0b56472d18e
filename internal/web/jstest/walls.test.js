// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { strokesOf } from "../static/js/walls.js";

test("the strokes of an event", () => {
  assert.deepEqual(strokesOf("freestyle"), ["freestyle"]);
  assert.deepEqual(strokesOf("breaststroke"), []);
  assert.deepEqual(strokesOf("medley"), ["freestyle", "backstroke", "butterfly"]);
});
