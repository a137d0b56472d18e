// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { keyed, turn } from "../../report/paper/player.js";

test("keys step through the pictures and leave others alone", () => {
  assert.equal(keyed("ArrowRight", 4, 5), 0);
  assert.equal(keyed("ArrowLeft", 0, 5), 4);
  assert.equal(keyed("Home", 3, 5), 0);
  assert.equal(keyed("End", 0, 5), 4);
  assert.equal(keyed("Tab", 3, 5), null);
});

test("the pictures of a clip go round", () => {
  assert.equal(turn(0, 1, 5), 1);
  assert.equal(turn(4, 1, 5), 0);
  assert.equal(turn(0, -1, 5), 4);
});
