// SPDX-License-Identifier: GPL-3.0-or-later
// Numbers: those of C, to the bit or nearly, whichever way the library was loaded.
import assert from "node:assert/strict";
import test from "node:test";
import { built_file, bytes, cam, dialarc, instantiate, load, source_file }
  from "./kit.js";
import { compare, faults } from "./vectors.js";

test("the shared vectors", () => {
  const rows = compare(dialarc, source_file("refdata/vectors.csv"));
  assert.ok(rows.length > 700);
  assert.deepEqual(faults(rows), []);
});

test("the bytes that stand in the script", async () => {
  assert.deepEqual(Buffer.from(await bytes()), built_file("dialarc.wasm"));
});

test("loaded from bytes, at once or not", async () => {
  const given = built_file("dialarc.wasm");
  for (const library of [await load(given), instantiate(given)])
    assert.equal(library.cam_lift(cam, 14), dialarc.cam_lift(cam, 14));
});
