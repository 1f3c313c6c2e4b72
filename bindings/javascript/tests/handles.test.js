// SPDX-License-Identifier: GPL-3.0-or-later
// What the library holds: until dispose(), and as long as something rests on it.
import assert from "node:assert/strict";
import test from "node:test";
import { cam, dialarc, setups, sweeps } from "./kit.js";

const gone = (call, name) => assert.throws(call, { name: "TypeError",
  message: new RegExp(`this ${name} has been disposed of`) });

test("what has been disposed of is refused", () => {
  const all = setups();
  assert.ok(!all.disposed);
  all.dispose();
  all.dispose();
  assert.ok(all.disposed);
  gone(() => dialarc.setups_count(all), "Setups");
  const table = dialarc.camtable_from_cam(cam, 90);
  const shape = dialarc.cam_from_table(table);
  assert.notEqual(shape.lobe_table, table);
  table.dispose();
  assert.ok(dialarc.cam_lift(shape, 20) > 0);   // it has a share of its own
  shape.lobe_table.dispose();
  gone(() => dialarc.cam_lift(shape, 20), "CamTable");
});

test("handles are made by the library alone", () => {
  assert.throws(() => new dialarc.Setups(), TypeError);
  assert.throws(() => dialarc.setups_count({}), /a Setups is needed, not Object/);
  assert.throws(() => dialarc.setups_count(dialarc.camtable_from_cam(cam, 90)),
    /a Setups is needed, not CamTable/);
  assert.ok(setups() instanceof dialarc.Setups);
});

test("sweeps outlive the setups with which they were read", () => {
  const of = setups(), all = sweeps(of);
  of.dispose();
  const first = dialarc.sweeps_get(all, 0);
  assert.equal(first.sweep.crank_deg.length, first.line.length);
  assert.ok(first.setup.lobes > 0);
});

const DIALS = "dial,shown_mm,true_mm,u_mm,calibrated_on,certificate\n" +
  "bench,-1,-1.01,0.001,2026-03-02,invented 17\nbench,9,9.09,0.001,,\n";

test("calibrations of dials", () => {
  const dials = dialarc.dials_read(DIALS);
  const all = dialarc.setups_read("setup,lobes,dial\nx,4,bench\ny,4,\n");
  assert.equal(dialarc.dials_certificate(dials, 0), "invented 17");
  dialarc.setups_use_dials(all, dials);
  dials.dispose();
  const setup = dialarc.setups_get(all, 0);
  all.dispose();
  const [travel] = dialarc.dialcal_true(setup.dial_calibration, [1]);
  assert.ok(Math.abs(travel - 1.01) < 1e-12);
  assert.equal(dialarc.setups_get(dialarc.setups_read("setup,lobes\nx,4\n"), 0)
    .dial_calibration, null);
});

test("setups are not changed below sweeps that were read with them", () => {
  const of = dialarc.setups_read("setup,lobes,dial\nx,4,bench\n");
  const all = dialarc.sweeps_read("sweep,setup,crank_deg,dial_mm\na,x,0,0.1\n", of);
  assert.throws(() => dialarc.setups_use_dials(of, dialarc.dials_read(DIALS)),
    /tables have been read with this already/);
  all.dispose();
  dialarc.setups_use_dials(of, dialarc.dials_read(DIALS));
});

test("Symbol.dispose, where the host has it", () => {
  if (!Symbol.dispose) return;
  const table = dialarc.camtable_from_cam(cam, 90);
  table[Symbol.dispose]();
  assert.ok(table.disposed);
});
