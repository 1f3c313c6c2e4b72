# SPDX-License-Identifier: GPL-3.0-or-later
"""The ten what-ifs and the families of sums of the README: three lines each, and
right."""
import csv
import math
import re
import unittest

import kit
import test_readme
from test_readme import blocks


def questions(block):
    """[(question, lines)]; what stands before the first question is not one."""
    parts = re.split(r"^# (.*)$", block, flags=re.M)[1:]
    return list(zip(parts[::2], (p.strip().splitlines() for p in parts[1::2])))


class Ten(unittest.TestCase):
    setUp, run_block = test_readme.Readme.setUp, test_readme.Readme.run_block

    def test_each_takes_three_lines_at_most(self):
        what_ifs, families = blocks("bindings/python/README.md")[-2:]
        self.assertEqual(len(questions(what_ifs)), 10)
        self.assertGreaterEqual(len(questions(families)), 10)
        for question, lines in questions(what_ifs) + questions(families):
            self.assertLessEqual(len(lines), 3, question)

    def test_the_answers_of_the_ten(self):
        """Sources: closed forms; the law 10 u^3 - 15 u^4 + 6 u^5 written out; z of
        98.75 % from memory."""
        told = self.run_block(blocks("bindings/python/README.md")[-2]).splitlines()
        got = [[float(x) for x in re.findall(r"-?\d+\.\d+", line)] for line in told]

        def lift(pump_deg, total=2.2):
            u = pump_deg / 38
            return total * (10 * u**3 - 15 * u**4 + 6 * u**5)

        def angle(lift_mm, total=2.2):
            low, high = 0.0, 38.0
            for _ in range(60):
                middle = (low + high) / 2
                low, high = (middle, high) if lift(middle, total) < lift_mm \
                    else (low, middle)
            return low
        late = -0.3 / 9.525 * 360 / 22
        self.assertAlmostEqual(got[0][0], late, delta=0.005)
        self.assertAlmostEqual(got[0][1], lift(angle(0.9) + late / 2) - 0.9, delta=6e-4)
        self.assertAlmostEqual(got[1][0], -2 * 360 / 44, delta=0.005)
        for k, limit in enumerate((0.88, 0.92)):
            self.assertAlmostEqual(got[2][k], lift(angle(limit) - 0.5), delta=6e-4)
        self.assertLess(abs(got[3][0]), 0.1)  # tests/engine/test_tdc.c has its source
        buildup = 2 * (angle(0.3 + 20 / (25 * math.pi)) - angle(0.3))
        static = 2 * (angle(0.9) - angle(0.3))
        for k, (rpm, advance) in enumerate(((800, 0), (4000, 9))):
            delay = 6e-3 * rpm * 0.44
            self.assertAlmostEqual(got[4][k], static - buildup + advance - delay,
                                   delta=0.01)
        self.assertAlmostEqual(got[5][0], 25 * 400 / (400 + 60 * math.cos(math.pi / 6)),
                               delta=0.006)
        self.assertAlmostEqual(got[6][0], 2 * (angle(0.9, 2.2 * 0.97) - angle(0.9)),
                               delta=0.006)
        self.assertAlmostEqual(got[7][0], 0.02 / 2.2414, delta=6e-5)
        self.assertEqual((told[8].split()[0], told[8].split()[1]), ("0.040", "True"))
        with (self.folder / "lift.csv").open(newline="") as table:
            rows = [[float(x) for x in row] for row in csv.reader(table)]
        self.assertEqual(len(rows), 81)
        for crank_deg, lift_mm in rows:
            self.assertAlmostEqual(lift_mm, lift(angle(0.9) + crank_deg / 2), delta=1e-9)

    def test_the_families_run(self):
        told = self.run_block(blocks("bindings/python/README.md")[-1]).splitlines()
        self.assertEqual(len(told), 12)
        self.assertEqual(told[0], "24.52 85")
        self.assertEqual(told[1], "24.43 24.40")
        self.assertRegex(told[3], r"^1 0\.9")  # 1.74 mm is one tooth on from 0.90


if __name__ == "__main__":
    kit.main()
