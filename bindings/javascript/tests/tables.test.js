// SPDX-License-Identifier: GPL-3.0-or-later
// From tables to results, as the program gives them, and a sweep while it is taken.
import assert from "node:assert/strict";
import test from "node:test";
import { DialarcError, dialarc, setups, source_file, sweeps } from "./kit.js";

test("results are those of the program", () => {
  const all = sweeps(setups());
  const rows = Array.from({ length: dialarc.sweeps_count(all) }, (_, i) => {
    const { name, setup, sweep } = dialarc.sweeps_get(all, i);
    const { timing, decision, residual_mm } = dialarc.assess(setup, sweep);
    assert.equal(residual_mm.length, sweep.dial_mm.length);
    return dialarc.result_format(name, timing, decision);
  });
  const made = dialarc.results_header() + rows.join("");
  const page = source_file("tests/programs/golden/assess.csv");    // begins with messages
  assert.equal(made, page.slice(page.indexOf("sweep,verdict")));
});

test("all faults of a table, with their places", () => {
  const text = "setup,lobes\na,four\nb,5\nc,six\n";
  assert.throws(() => dialarc.setups_read(text), (problem) => {
    assert.ok(problem instanceof DialarcError);
    assert.equal(problem.code, "ERR_TABLE");
    assert.equal(problem.status, dialarc.ERR_TABLE);
    assert.deepEqual(problem.places.map(({ line }) => line), [2, 4]);
    assert.equal(problem.places[0].column_name, "lobes");
    return /^setups_read\(\): line 2 \(row 1\), column lobes: .*\nline 4/
      .test(problem.message);
  });
});

test("a text of any bytes is a table or refused", () => {
  const bytes = new Uint8Array([255, 254, 0, 1]);
  for (const given of ["", "\0", "\ufeffsetup;lobes\na;4\n", bytes]) {
    try {
      dialarc.setups_read(given).dispose();
    } catch (problem) {
      assert.ok(problem instanceof DialarcError, problem.stack);
    }
  }
  const read = dialarc.setups_read("\ufeffsetup;lobes\ng\u00fcn;4\n");
  assert.equal(dialarc.setups_count(read), 1);
  assert.equal(dialarc.setups_name(read, 0), "g\u00fcn");
});

test("cams written and read back to the bit", () => {
  const angle = [0, 30.5, 60], lift = [0.1 + 0.2, 2, 1];
  const text = dialarc.cams_header() + dialarc.cam_format("a, b", angle, lift, 90, 0.002);
  const found = dialarc.cams_read(text);
  const { name, pump_deg, lift_mm, table } = dialarc.cams_get(found, 0);
  assert.deepEqual([name, [...pump_deg], [...lift_mm]], ["a, b", angle, lift]);
  assert.equal(dialarc.camtable_motion(table, 30.5).lift_mm, 2);
});

test("a live sweep says what the same sweep says afterwards", () => {
  const all = sweeps(setups());
  const { setup, sweep } = dialarc.sweeps_get(all, 0);
  const live = dialarc.live_new(setup,
    { first_crank_deg: -90, last_crank_deg: 90, step_crank_deg: 1 });
  sweep.crank_deg.forEach((angle, i) =>
    dialarc.live_add(live, { crank_deg: angle, dial_mm: sweep.dial_mm[i],
      direction: dialarc.DIRECTION_WITH, time_s: i }));
  assert.equal(dialarc.live_count(live), sweep.dial_mm.length);
  const direction = Array(sweep.dial_mm.length).fill(dialarc.DIRECTION_WITH);
  const { timing } = dialarc.timing_estimate(setup, { ...sweep, direction });
  assert.deepEqual(dialarc.live_timing(live), timing);
  assert.equal(dialarc.live_hear(live, "back\n", 99), dialarc.HEARD_STRUCK);
  assert.equal(dialarc.live_count(live), sweep.dial_mm.length - 1);
});

test("unknown is NaN, and null after JSON", () => {
  const unknown = dialarc.setup_unknown(4);
  assert.ok(Number.isNaN(unknown.lift_low_mm));
  const stated = { ...unknown, lift_low_mm: 0.7, lift_high_mm: 0.8 };
  const kept = JSON.parse(JSON.stringify(stated));
  assert.equal(kept.cam_lift_mm, null);
  dialarc.setup_check(kept);
  dialarc.setup_check({ lobes: 4, cam_lift_mm: undefined });
  // Elsewhere nothing may be unknown: null is no zero there.
  const blank = { lobes: 4, lift_mm: null, rise_deg: 40, law: 1 };
  assert.throws(() => dialarc.cam_lift(blank, 1), { code: "ERR_NOT_FINITE" });
  assert.throws(() => dialarc.cam_lift({ lobes: null, lift_mm: 2 }, 1), TypeError);
});
