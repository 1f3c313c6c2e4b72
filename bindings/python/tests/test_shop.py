# SPDX-License-Identifier: GPL-3.0-or-later
"""Gauge studies and errors of reading, as objects: as the calls of C give them."""
import io
import math
import unittest

import kit
from kit import DEMO, dialarc as d


class Shop(unittest.TestCase):
    def test_dyestuff(self):
        # Davies and Goldsmith, 1972, 6.4: as R package lme4 prints it (from memory)
        batches = [[1545, 1440, 1440, 1520, 1580], [1540, 1555, 1490, 1560, 1495],
                   [1595, 1550, 1605, 1510, 1560], [1445, 1440, 1595, 1465, 1545],
                   [1595, 1630, 1515, 1635, 1625], [1520, 1455, 1450, 1480, 1445]]
        study = d.gauge_study([y for batch in batches for y in batch],
                              [name for name in "ABCDEF" for _ in range(5)], ["one"] * 30)
        self.assertAlmostEqual(study.engine.variance_mm2, 1764.05, delta=0.005)
        self.assertAlmostEqual(study.repetition.sd_mm, 49.51, delta=0.005)
        self.assertTrue(math.isnan(study.reproducibility.sd_mm))
        self.assertEqual((study.lifts, study.engines, study.hands), (30, 6, 1))

    def test_table(self):
        lift, engine, hand = d.read_lifts(DEMO / "lifts.csv")
        study = d.gauge_study(lift, engine, hand)
        self.assertEqual((study.engines, study.hands), (4, 3))
        window = d.gauge_judge(study, 0.86, 0.94, 0.0)
        self.assertGreater(window.narrowest_window_mm, 4 * window.sd_mm)
        lift, _, _ = d.read_lifts(io.BytesIO(b"sweep,setup,hand\nx,heron4,left\n"))
        self.assertTrue(math.isnan(lift[0]))

    def test_what_will_not_do(self):
        with self.assertRaises(ValueError):
            d.gauge_study([0.9, 0.91], ["a"], ["x", "x"])
        with self.assertRaises(d.DialarcError):
            d.gauge_study([0.9, 0.91], ["a", "b"], ["x", "y"])  # hands of their own

    def test_errors_of_reading(self):
        setups = d.read_setups(DEMO / "setups.csv")
        sweeps = d.read_sweeps(DEMO / "study_sweeps.csv", setups)
        errors = d.reading_errors(sweeps)
        self.assertEqual(errors.sweeps, 12)
        # make_gauge.py: 0.002 mm; 0.2 degrees, rounded to half a degree
        self.assertLess(errors.dial_sd_low_mm, 0.002)
        self.assertGreater(errors.dial_sd_high_mm, 0.002)
        true = math.hypot(0.2, 0.5 / math.sqrt(12))
        self.assertLess(errors.angle_sd_low_deg, true)
        self.assertGreater(errors.angle_sd_high_deg, true)
        self.assertTrue(math.isnan(d.reading_errors([]).dial_sd_mm))

    def test_witnesses(self):
        # The numbers of tests/guide/test_crosscheck.c, by NumPy
        four = {"dial": d.Witness(2.0, 0.2, 0.3, 0.0, 0.1, 1, 0, 0),
                "spill": d.Witness(2.5, 0.4, 0.3, 0.2, 0.1, 1, 0, 0),
                "strobe": d.Witness(3.25, 0.5, 0.0, 0.0, 0.0, 0, 0, 0),
                "pickup": d.Witness(2.1, 0.3, 0.25, 0.0, 0.2, 1, 0, 1)}
        found = d.crosscheck(four)
        self.assertTrue(found.agree)
        self.assertEqual(found.farthest, "strobe")
        self.assertAlmostEqual(found.together.advance_crank_deg, 2.4401867129830657)
        self.assertAlmostEqual(found.off_crank_deg["dial"], -0.46225605833154615)
        self.assertAlmostEqual(found.off_sd_deg["spill"], 0.4801559769933405)
        alone = d.crosscheck({"dial": four["dial"]})
        self.assertEqual((alone.agree, alone.farthest, alone.off_sd_deg),
                         (True, None, {}))
        self.assertRaises(ValueError, d.crosscheck, {})

    def test_dial(self):
        found = d.check_dial([0, 1, 1, 0], [0, 1.002, 1.005, 0.004],
                             ["in", "in", "out", "out"], read_to_mm=0.001)
        self.assertAlmostEqual(found.hysteresis_mm, 0.004)
        self.assertAlmostEqual(found.whole_range_mm, 0.002)
        self.assertRaises(ValueError, d.check_dial, [0, 1], [0, 1], ["in", "up"])
        self.assertRaises(ValueError, d.check_dial, [0, 1], [0, 1], ["in"])


if __name__ == "__main__":
    kit.main()
