// SPDX-License-Identifier: GPL-3.0-or-later
// Nothing is left behind: memory does not grow, whether calls are good, refused or fail.
import assert from "node:assert/strict";
import test from "node:test";
import { built_file, cam, instantiate, source_file } from "./kit.js";

/** A library of its own, and its memory. */
function library() {
  const { Instance } = WebAssembly;
  let made;
  WebAssembly.Instance = function (...given) {
    return made = new Instance(...given);
  };
  const dialarc = instantiate(built_file("dialarc.wasm"));
  WebAssembly.Instance = Instance;
  return { dialarc, size: () => made.exports.memory.buffer.byteLength };
}

/** After some rounds so many more need no more memory. */
function keeps(work, rounds) {
  const { dialarc, size } = library();
  const round = work(dialarc);
  for (let i = 0; i < 20; i++) round(i);
  const before = size();
  for (let i = 0; i < rounds; i++) round(i);
  assert.equal(size(), before);
}

test("ten thousand estimates", () => keeps((dialarc) => {
  const setup = { lobes: 4, cam_law: dialarc.LAW_POLY345, cam_lift_mm: 2.2, rise_deg: 38,
    top_dwell_deg: 2, base_dwell_deg: 10, lift_low_mm: 0.7, lift_high_mm: 0.74 };
  const crank_deg = Array.from({ length: 12 }, (_, i) => -60 + 6 * i);
  const dial_mm = crank_deg.map((angle) =>
    Math.round(100 * dialarc.cam_lift(cam, (angle + 33) / 2)) / 100);
  return () => dialarc.assess(setup, { crank_deg, dial_mm });
}, 10000));

test("short calls, good and refused", () => keeps((dialarc) => (i) => {
  dialarc.cam_lift_array(cam, [1, 2, 3]);
  try {
    dialarc.cam_lift_array(cam, i % 2 ? [1, NaN] : [1, "2"]);
    assert.fail("no error");
  } catch (problem) {
    if (problem instanceof assert.AssertionError) throw problem;
  }
}, 200000));

test("tables, good and refused, and what is made of them", () => keeps((dialarc) => {
  const [setups_text, sweeps_text] = ["setups", "sweeps"]
    .map((name) => source_file(`examples/demo/${name}.csv`));
  return () => {
    const setups = dialarc.setups_read(setups_text);
    const sweeps = dialarc.sweeps_read(sweeps_text, setups);
    const live = dialarc.live_new(dialarc.setups_get(setups, 0),
      { first_crank_deg: -60, last_crank_deg: 10, step_crank_deg: 5 });
    dialarc.live_hear(live, "-30 0.1\n", 0);
    dialarc.sweeps_get(sweeps, 0);
    assert.throws(() => dialarc.setups_read("setup,lobes\na,b\n"));
    for (const handle of [setups, sweeps, live]) handle.dispose();
  };
}, 2000));

test("models that throw", () => keeps((dialarc) => () => {
  const input = [{ shape: dialarc.SHAPE_NORMAL, centre: 1, spread: 0.1 }];
  assert.throws(() => dialarc.propagate_linear(input, () => { throw new Error("mine"); }),
    { message: "mine" });
  // Within a model the library may be called again.
  dialarc.propagate_linear(input, ([x]) =>
    dialarc.propagate_linear(input, ([y]) => x * y).value);
}, 20000));
