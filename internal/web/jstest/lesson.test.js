// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { turn } from "../../report/paper/player.js";

test("the pictures of a clip go round", () => {
  assert.equal(turn(0, 1, 5), 1);
  assert.equal(turn(4, 1, 5), 0);
  assert.equal(turn(0, -1, 5), 4);
});
