// SPDX-License-Identifier: GPL-3.0-or-later
// Numbers: those of C, to the bit or nearly, whichever way the library was loaded.
import assert from "node:assert/strict";
import test from "node:test";
import { built_file, bytes, dialarc, functions, instantiate, load, source_file } from "./kit.js";
import { compare } from "./vectors.js";

// musl's exp(), log(), pow() and their like are not glibc's; no row may differ by more.
const MOST_ULPS = 2;
const MAY_DIFFER = ["design_expect", "minimum_fit", "minimum_shape"];

function differing(library) {
  const rows = compare(library, functions, source_file("refdata/vectors.csv"));
  assert.ok(rows.length > 700);
  for (const { line, ulps } of rows) assert.ok(ulps <= MOST_ULPS, `${ulps} ulps: ${line}`);
  return [...new Set(rows.filter(({ ulps }) => ulps > 0)
    .map(({ line }) => line.split(",")[0]))].sort();
}

test("the shared vectors", () => {
  const found = differing(dialarc);
  assert.deepEqual(found.filter((name) => !MAY_DIFFER.includes(name)), []);
});

test("the bytes that stand in the script", async () => {
  assert.deepEqual(Buffer.from(await bytes()), built_file("dialarc.wasm"));
});

test("loaded from bytes, at once or not", async () => {
  const given = built_file("dialarc.wasm");
  for (const library of [await load(given), instantiate(given)])
    assert.ok(Math.abs(library.cam_lift({ lobes: 4, lift_mm: 2, rise_deg: 40, law: 1 }, 20) - 1) <
      1e-12);       // half the lift at half the rise
});
