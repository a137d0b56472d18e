// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { pictureAddress } from "../static/js/clip_out.js";

test("the address of the picture holds every choice and leaves empty ones out", () => {
  /** @type {[string, string][]} */
  const fields = [
    ["asked", "1"],
    ["kick", "2"],
    ["kicks", ""],
    ["layer", "body"],
    ["layer", "toe-path"],
    ["for", ""],
    ["beside", "a b&c"],
  ];
  assert.equal(
    pictureAddress("/run/r1/clip-out/picture.jpg", fields),
    "/run/r1/clip-out/picture.jpg?asked=1&kick=2&layer=body&layer=toe-path&beside=a+b%26c",
  );
});
