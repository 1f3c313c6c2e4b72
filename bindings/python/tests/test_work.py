# SPDX-License-Identifier: GPL-3.0-or-later
"""The daily work on the demonstration tables: as the programs in C, on any threads."""
import array
import csv
import gc
import io
import math
import os
import pickle
import subprocess
import threading
import unittest
from pathlib import Path

import kit
from kit import DEMO, dialarc as d

SETUPS = d.read_setups(DEMO / "setups.csv")
SWEEPS = d.read_sweeps(DEMO / "sweeps.csv", SETUPS)
PROGRAM = Path(os.environ.get("builddir", ".")) / "examples/programs/dialarc"


class Tables(unittest.TestCase):
    def test_setups(self):
        self.assertEqual(list(SETUPS), ["heron4", "badger6", "otter4"])
        self.assertEqual(SETUPS["badger6"].lobes, 6)
        self.assertEqual(SETUPS[-1], SETUPS["otter4"])
        self.assertTrue(math.isnan(SETUPS["otter4"].rise_deg))
        self.assertNotIn("rise_deg", repr(SETUPS["otter4"]))
        self.assertIn("heron4", SETUPS)
        self.assertRaises(KeyError, lambda: SETUPS["heron5"])
        self.assertRaises(IndexError, lambda: SETUPS[3])
        self.assertEqual(SETUPS.to_dict()["lobes"], [4, 6, 4])

    def test_sweeps_from_everywhere(self):
        data = (DEMO / "sweeps.csv").read_bytes()
        for source in (data, bytearray(data), io.BytesIO(data)):
            self.assertEqual(d.read_sweeps(source, SETUPS), SWEEPS)
        self.assertEqual(list(d.iter_sweeps(io.BytesIO(data), SETUPS)), SWEEPS)
        bare = d.read_sweeps(DEMO / "sweeps.csv")
        self.assertEqual([s.setup_name for s in bare], [s.setup_name for s in SWEEPS])
        self.assertEqual([list(s.dial_mm) for s in bare],
                         [list(s.dial_mm) for s in SWEEPS])
        self.assertIsNone(bare[0].setup)
        self.assertRaisesRegex(ValueError, "setups", d.read_sweeps,
                               b"sweep,setup,pump_deg,dial_mm\na,b,1,2\n")

    def test_an_exception_while_a_sweep_is_made_comes_through(self):
        hooks = d._c._hooks
        kept = hooks["make_array"]
        self.addCleanup(hooks.update, make_array=kept)
        hooks["make_array"] = lambda like, shape: 1 / 0
        with self.assertRaises(ZeroDivisionError):
            list(d.iter_sweeps((DEMO / "sweeps.csv").read_bytes(), SETUPS))

    def test_a_reader_keeps_what_it_reads(self):
        reader = d.sweep_reader_new(io.BytesIO((DEMO / "sweeps.csv").read_bytes()),
                                    d.read_setups(DEMO / "setups.csv"))
        buffer, names = d.SweepBuffer(), []
        while (sweep := d.sweep_reader_next(reader, buffer)) is not None:
            names.append(sweep.name)
        self.assertEqual(names, [s.name for s in SWEEPS])

    def test_rounds(self):
        jobs = d.read_rounds(DEMO / "rounds.csv", SETUPS)
        self.assertEqual(len(jobs[0]), 6)
        plan = d.plan_round(jobs[0].setup, jobs[0])
        self.assertEqual(plan, d.plan_round(jobs[0].setup, [
            (r.round, r.minimum_mm, r.tdc_mm, "tight" if r.tight else "loose")
            for r in jobs[0].rounds]))
        for bad in (None, "x", [1], [(1, 0.0, 0.7, "slack")], [(1, "x", 0.7, 1)]):
            self.assertRaises((TypeError, ValueError), d.plan_round, jobs[0].setup, bad)


class Assessing(unittest.TestCase):
    def setUp(self):
        self.each = d.assess_each(SWEEPS, threads=1)

    @unittest.skipUnless(PROGRAM.exists(), "the program is not built")
    def test_the_same_table_as_the_program(self):
        table = subprocess.run(
            [PROGRAM, "assess", DEMO / "setups.csv", DEMO / "sweeps.csv"],
            capture_output=True, text=True).stdout
        self.assertEqual(d.results_header() + "".join(a.line() for a in self.each), table)

    def test_threads_give_the_same_bits(self):
        for threads in (2, 5):
            again = d.assess_each(SWEEPS * 3, threads=threads)
            self.assertEqual([a.to_dict().__repr__() for a in again],
                             [a.to_dict().__repr__() for a in self.each * 3])
            self.assertEqual([list(a.residual_mm) for a in again],
                             [list(a.residual_mm) for a in self.each * 3])

    def test_arguments_of_assess(self):
        sweep = SWEEPS[0]
        alone = d.assess(sweep.setup, list(sweep.crank_deg), tuple(sweep.dial_mm))
        self.assertEqual(alone.timing, self.each[0].timing)
        ways = ["with"] * len(sweep)
        self.assertIsInstance(d.assess(sweep.setup, sweep.crank_deg, sweep.dial_mm, ways),
                              d.Assessment)
        for name, args in (("setup", (None, [0.0], [0.0])),
                           ("dial_mm", (sweep.setup, [0.0, 1.0], [0.0])),
                           ("crank_deg", (sweep.setup, None, [0.0])),
                           ("crank_deg[1]", (sweep.setup, [0.0, math.nan], [0.0, 1.0])),
                           ("direction", (sweep.setup, [0.0], [0.0], ["up"])),
                           ("direction", (sweep.setup, [0.0], [0.0], []))):
            with self.assertRaises((TypeError, ValueError)) as caught:
                d.assess(*args)
            self.assertIn(name, str(caught.exception))

    def test_empty_and_short_sweeps_are_unusable(self):
        result = d.assess(d.Setup(lobes=4, lift_low_mm=0.8, lift_high_mm=0.9), [], [])
        self.assertIs(result.verdict, d.Verdict.UNUSABLE)
        self.assertIn(d.Finding.TOO_FEW_READINGS, result.findings)
        self.assertIn("too_few_readings", result.findings)
        self.assertTrue(all(note.text for note in result.findings))

    def test_residuals_of_an_unusable_sweep_are_unknown(self):
        short = next(sweep for sweep in SWEEPS if sweep.name == "badger short")
        setup = SETUPS["badger6"]
        for size in (3, 1, 0):
            sweep = d.Sweep(short.crank_deg[:size], short.dial_mm[:size])
            out = array.array("d", [1.0] * size)
            for residual_mm in (
                    d.assess_sweep(setup, sweep).residual_mm,
                    d.timing_estimate(None, setup, sweep, out=out)[0],
                    d.timing_estimate(None, setup, sweep,
                                      out=array.array("d", sweep.dial_mm))[0],
                    d.lobes_estimate(None, setup, sweep)[0]):
                self.assertTrue(all(math.isnan(r) for r in residual_mm), residual_mm)
                self.assertEqual(len(residual_mm), size)

    def test_residuals_may_stand_where_the_readings_stood(self):
        sweep = SWEEPS[0]
        apart = d.timing_estimate(None, sweep.setup, sweep)[0]
        copy = d.Sweep(sweep.crank_deg, array.array("d", sweep.dial_mm))
        within = d.timing_estimate(None, sweep.setup, copy, out=copy.dial_mm)[0]
        self.assertIs(within, copy.dial_mm)
        self.assertEqual(list(within), list(apart))

    def test_columns(self):
        done = []
        columns = d.assess_all(None, SWEEPS, threads=2,
                               progress=lambda *at: done.append(at))
        self.assertEqual(done, sorted(done))
        self.assertEqual(done[-1], (len(SWEEPS), len(SWEEPS)))
        self.assertEqual(columns["sweep"], [s.name for s in SWEEPS])
        # A sweep that cannot be used has no lift in a table.
        for told, a in zip(columns["lift_mm"], self.each):
            unusable = a.verdict is d.Verdict.UNUSABLE
            self.assertTrue(math.isnan(told) if unusable else told == a.lift_mm)
        self.assertTrue(all(len(c) == len(SWEEPS) for c in columns.values()))
        header = d.results_header().strip().split(",")
        for name in header:
            self.assertIn(name, columns)
        for name in ("sweep", "verdict", "findings", "severity"):  # as in the table
            rows = [next(csv.reader([a.line()])) for a in self.each]
            self.assertEqual([str(word) for word in columns[name]],
                             [row[header.index(name)] for row in rows], name)
        by_name = d.assess_all(SETUPS, d.read_sweeps(DEMO / "sweeps.csv"))
        self.assertEqual([repr(x) for x in by_name["lift_mm"]],
                         [repr(x) for x in columns["lift_mm"]])
        self.assertEqual(d.assess_all(SETUPS, []), {})
        self.assertRaises(ValueError, d.assess_all, {},
                          d.read_sweeps(DEMO / "sweeps.csv"))
        self.assertRaises(ValueError, d.assess_all, SETUPS, SWEEPS, threads=0)
        self.assertRaises(d.Cancelled, d.assess_all, SETUPS, SWEEPS,
                          progress=lambda *_: False)
        self.assertRaises(ZeroDivisionError, d.assess_all, SETUPS, SWEEPS,
                          progress=lambda *_: 1 / 0)
        bad = d.Sweep([0.0], [float("inf")])
        self.assertRaises(d.InputError, d.assess_all, SETUPS["heron4"], [bad])

    def test_pickle_and_repr(self):
        again = pickle.loads(pickle.dumps(self.each[1]))
        self.assertEqual(again, self.each[1])
        self.assertIn("low", repr(again))
        self.assertRaises(AttributeError, lambda: again.nothing)

    def test_a_workspace_serves_one_thread(self):
        workspace, refused = d.Workspace(), []
        start = threading.Barrier(2)
        setup, sweep = d.Setup(lobes=4), SWEEPS[-1]

        def work():
            start.wait()
            for _ in range(40):
                try:
                    d.timing_estimate(workspace, setup, sweep)
                except RuntimeError as error:
                    refused.append(str(error))
        threads = [threading.Thread(target=work) for _ in range(2)]
        [thread.start() for thread in threads]
        [thread.join() for thread in threads]
        self.assertTrue(all("workspace" in text for text in refused))
        d.timing_estimate(workspace, setup, sweep)  # free again

    def test_what_if_by_names(self):
        setup = d.read_setups(DEMO / "setups.csv")["heron4"]
        one = d.what_if(setup, tdc_mark_crank_deg=0.5)
        self.assertAlmostEqual(one.advance_crank_deg, -0.5, delta=1e-9)
        self.assertLess(one.lift_mm, 0)
        both = d.what_if(one.case, slack_left_crank_deg=2)
        self.assertAlmostEqual(both.after.advance_crank_deg, -2.5, delta=1e-9)
        self.assertEqual(both.before, one.after)
        at_once = d.what_if(setup, tdc_mark_crank_deg=0.5, slack_left_crank_deg=2)
        self.assertEqual(at_once.after, both.after)
        with self.assertRaises(d.InputError):
            d.what_if(setup, slack=2)

    def test_a_learned_cam_is_used_again(self):
        workspace = d.Workspace()
        sweep = SWEEPS[-1]
        learned = d.LearnedCam(sweep.setup, sweep)
        timing = learned.timing()
        self.assertEqual(timing.cam_learned, 1)
        table = d.CamTable(*learned.lobe(180), 90.0)
        self.assertIsInstance(pickle.loads(pickle.dumps(table)), d.CamTable)
        _, again = d.reuse_estimate(workspace, sweep.setup, table, 0.01, sweep)
        self.assertAlmostEqual(again.lift_mm, timing.lift_mm, delta=timing.lift_u_mm)

    def test_a_learned_cam_is_kept_in_a_table(self):
        sweep = SWEEPS[-1]
        learned = d.LearnedCam(sweep.setup, sweep)
        with_share, against_share = learned.share()
        self.assertTrue(0.4 < against_share <= with_share < d.LEARNED_CAM_WHOLE)
        angle, lift = learned.lobe(180)
        sd = learned.sd_mm()
        text = d.cams_header() + d.cam_format("otter, first", angle, lift, 90.0, sd)
        cams = d.read_cams(text.encode())
        self.assertEqual((len(cams), list(cams), cams.keys()), (1, ["otter, first"],) +
                         (["otter, first"],))
        self.assertIn("otter, first", cams)
        cam = cams["otter, first"]
        self.assertEqual(cam, cams[0])
        self.assertEqual(cam, cams.values()[0])
        self.assertEqual(cams.items(), [("otter, first", cam)])
        self.assertEqual((cam.pump_deg.tolist(), cam.lift_mm.tolist(), cam.period_deg,
                          cam.cam_sd_mm), (list(angle), list(lift), 90.0, sd))
        self.assertEqual(d.cams_header() + cam.rows(), text)
        self.assertEqual(pickle.loads(pickle.dumps(cam)), cam)
        self.assertEqual(len(cam), 180)
        _, kept = d.reuse_estimate(None, sweep.setup, cam.table, cam.cam_sd_mm,
                                   sweep)
        _, fresh = d.reuse_estimate(None, sweep.setup,
                                    d.CamTable(angle, lift, 90.0), sd, sweep)
        self.assertEqual(kept, fresh)
        self.assertRaises(KeyError, lambda: cams["heron4"])
        self.assertRaises(IndexError, lambda: cams[1])
        with self.assertRaises(d.TableError) as caught:
            d.read_cams(text.replace(",90,", ",89,", 1).encode())
        self.assertEqual((caught.exception.line, caught.exception.column_name),
                         (3, "period_deg"))

    def test_dials_correct_the_readings(self):
        text = ("dial,shown_mm,true_mm,u_mm,calibrated_on,certificate\n"
                "bench,-1,-1.01,0.001,2026-03-02,invented 17\nbench,9,9.09,0.001,,\n")
        dials = d.read_dials(text.encode())
        self.assertEqual((len(dials), list(dials), "bench" in dials, "x" in dials),
                         (1, ["bench"], True, False))
        self.assertEqual((dials.calibrated_on("bench"), dials.certificate(0)),
                         ("2026-03-02", "invented 17"))
        self.assertEqual(dials["bench"], dials.values()[0])
        table = b"setup,lobes,dial\nx,4,bench\ny,4,\n"
        setups = d.read_setups(table)
        self.assertIsNone(setups["x"].dial_calibration)
        self.assertIsNone(setups.use_dials(dials))
        del dials
        gc.collect()
        self.assertEqual(setups["x"].dial_calibration.u_mm, 0.001)
        self.assertIsNone(setups["y"].dial_calibration)
        sweep = SWEEPS[0]
        plain, scaled = sweep.setup.copy(), sweep.setup.copy()
        scaled.dial_calibration = setups["x"].dial_calibration
        shown = d.Sweep(sweep.crank_deg, [x / 1.01 for x in sweep.dial_mm])
        for one in (plain, scaled):  # what is stated is what remains
            one.dial_error_mm = 0.003
            one.dial_step_mm = 0.005
        was, now = d.assess_sweep(plain, sweep), d.assess_sweep(scaled, shown)
        self.assertAlmostEqual(now.timing.lift_mm, was.timing.lift_mm, delta=1e-6)
        self.assertAlmostEqual(now.decision.aim_mm, was.decision.aim_mm / 1.01,
                               delta=1e-6)
        many = d.batch_assess([scaled], [shown])
        self.assertEqual(many[0][1], now.timing)
        with self.assertRaises(d.InputError) as caught:
            d.read_setups(table.replace(b"bench", b"left")).use_dials(
                d.read_dials(text.encode()))
        self.assertIn("setup x names the dial left, which the dials table does not have",
                      str(caught.exception))

    def test_out_takes_residuals(self):
        sweep = SWEEPS[0]
        out = array.array("d", bytes(8 * len(sweep)))
        residual, _ = d.timing_estimate(None, sweep.setup, sweep, out=out)
        self.assertIs(residual, out)


class Many(unittest.TestCase):
    def test_a_batch_gives_what_each_sweep_gives_alone(self):
        setups = [sweep.setup for sweep in SWEEPS]
        heard = []
        for threads in (1, 3):
            many = d.batch_assess(setups, SWEEPS, threads, lambda *a: heard.append(a))
            for sweep, (status, timing, decision) in zip(SWEEPS, many):
                alone = d.assess_sweep(sweep.setup, sweep)
                self.assertGreaterEqual(status, 0)
                self.assertEqual(repr(timing.to_dict()), repr(alone.timing.to_dict()))
                self.assertEqual(repr(decision.to_dict()), repr(alone.decision.to_dict()))
        self.assertEqual(heard[-1], (len(SWEEPS), len(SWEEPS)))
        self.assertEqual(d.batch_assess([], []), [])

    def test_a_bad_sweep_stops_no_other(self):
        bad = d.Sweep([1.0, 2.0], [0.0, math.nan])
        setup = SWEEPS[0].setup
        (first, *_), (second, timing, _) = d.batch_assess([setup] * 2, [SWEEPS[0], bad])
        self.assertEqual(first, d.Status.OK)
        self.assertEqual(second, d.Status.ERR_NOT_FINITE)
        self.assertTrue(math.isnan(timing.lift_mm))

    def test_what_is_no_batch_is_refused(self):
        setup = SWEEPS[0].setup
        self.assertRaises(ValueError, d.batch_assess, [setup], SWEEPS)
        self.assertRaises(TypeError, d.batch_assess, [None], SWEEPS[:1])
        self.assertRaises(TypeError, d.batch_assess, [setup], [1])
        self.assertRaises(TypeError, d.batch_assess, setup, SWEEPS[:1])
        many = [SWEEPS[0]] * 40
        self.assertRaises(d.Cancelled, d.batch_assess, [setup] * 40, many, 2,
                          lambda done, total: False)
        self.assertRaises(ZeroDivisionError, d.batch_assess, [setup] * 40, many, 2,
                          lambda done, total: 1 / 0)

    def test_a_table_streamed(self):
        rows = [d.assess_sweep(sweep.setup, sweep).line() for sweep in SWEEPS]
        data = (DEMO / "sweeps.csv").read_bytes()
        for threads in (0, 1, 2):
            self.assertEqual(d.stream_assess(io.BytesIO(data), SETUPS, threads),
                             d.results_header() + "".join(rows))
        with self.assertRaises(d.TableError) as caught:
            d.stream_assess(data + b"x,heron4,1,y,\n", SETUPS)
        self.assertEqual(caught.exception.column_name, "dial_mm")


if __name__ == "__main__":
    kit.main()
