// @ts-check
import assert from "node:assert/strict";
import { test } from "node:test";
import { switchOf } from "../static/js/layers.js";

const key = (/** @type {string} */ k, more = {}) => ({
  key: k,
  ctrlKey: false,
  altKey: false,
  metaKey: false,
  ...more,
});

test("a digit outside fields is the switch with that number", () => {
  assert.equal(switchOf(key("1"), "BODY", ""), 0);
  assert.equal(switchOf(key("9"), "A", ""), 8);
  assert.equal(switchOf(key("3"), "INPUT", "checkbox"), 2);
  assert.equal(switchOf(key("3"), "INPUT", "range"), 2);
});

test("what is typed into a field or with another key held is no switch", () => {
  assert.equal(switchOf(key("0"), "BODY", ""), -1);
  assert.equal(switchOf(key("a"), "BODY", ""), -1);
  assert.equal(switchOf(key("1"), "INPUT", "text"), -1);
  assert.equal(switchOf(key("1"), "SELECT", ""), -1);
  assert.equal(switchOf(key("1", { ctrlKey: true }), "BODY", ""), -1);
  assert.equal(switchOf(key("2", { altKey: true }), "BODY", ""), -1);
});
