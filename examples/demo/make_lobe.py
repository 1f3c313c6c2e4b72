#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes the demonstration tables of a cam that is learned and used again:
python3 make_lobe.py FOLDER

Everything in them is invented: the engines, their settings, and cams that follow no law.
The seeds are fixed; the mechanic and his dial are those of make_demo.py.
"""
import csv
import math
import random
import sys
from pathlib import Path

from make_demo import Bench, Pump, cycloidal, modified_sine, poly345, there_and_back


def sine_wave(u, waves):
    """What is left of a tool's waviness on a flank; the flank begins and ends without."""
    return math.sin(2 * math.pi * waves * u) * math.sin(math.pi * u) ** 2


def teal_rise(u):
    return 0.55 * poly345(u) + 0.45 * cycloidal(u ** 1.15) + 0.0012 * sine_wave(u, 3)


def teal_fall(u):
    return 0.7 * modified_sine(u ** 0.95) + 0.3 * poly345(u)


def grebe_rise(u):
    return 0.4 * modified_sine(u) + 0.6 * u ** 2.6 * (1 + 2.6 * (1 - u)) - 0.001 * sine_wave(u, 2)


class FreePump(Pump):
    """A lobe whose fall is not its rise turned round, and neither follows a law."""

    def __init__(self, lobes, rise, fall, lift_mm, rise_deg, top_deg, base_deg):
        super().__init__(lobes, rise, lift_mm, rise_deg, top_deg, base_deg)
        self.down = fall

    def lift(self, pump_deg):
        angle = pump_deg % self.pitch - self.rise - self.top
        if 0 <= angle < self.fall:
            return self.lift_mm * self.down(1 - angle / self.fall)
        return super().lift(pump_deg)


TEAL = FreePump(5, teal_rise, teal_fall, 2.15, 31, 1.5, 8)
GREBE = FreePump(4, grebe_rise, modified_sine, 2.3, 38, 2, 11)
# Of the next pumps: sweep, setup, pump, lift at TDC, slack, error of the TDC mark.
NEXT = [("teal second", "teal5", TEAL, 0.912, 2.5, 0.06),
        ("teal third", "teal5", TEAL, 0.803, 4.0, -0.08),
        ("grebe second", "grebe4", GREBE, 0.871, 3.5, 0.05)]


def setups():
    return ["setup lobes lift_low_mm lift_high_mm angle_sd_deg tdc_sd_deg dial_sd_mm "
            "dial_step_mm dial_turn_mm dial_hysteresis_mm dial_error_mm turned rotation "
            "remark".split(),
            "teal5 5 0.89 0.93 0.25 0.08 0.002 0.005 1 0.004 0.003 body cw".split() +
            ["invented five-cylinder engine; cam not known"],
            "grebe4 4 0.86 0.90 0.25 0.08 0.002 0.005 1 0.004 0.003 body ccw".split() +
            ["invented four-cylinder engine; cam not known"]]


def sweeps(jobs):
    """Rows of (name, setup, bench, path, remark)."""
    rows = [["sweep", "setup", "crank_deg", "dial_mm", "remark"]]
    for name, setup, bench, path, remark in jobs:
        for k, (crank, dial) in enumerate(bench.sweep(path)):
            note = "invented; " + remark if k == 0 else ""
            rows.append([name, setup, f"{crank:.1f}", f"{dial:.3f}", note])
    return rows


def whole_lobes():
    """The first pump of each type, over a whole lobe there and back; and two sweeps that
    were broken off."""
    rng = [random.Random(40260 + k) for k in range(4)]
    return sweeps([
        ("teal first", "teal5", Bench(TEAL, 0.905, 3.0, 0.003, 0.005, rng[0]),
         there_and_back(-64, 86, 1), "forward and back over a whole lobe"),
        ("teal broken off", "teal5", Bench(TEAL, 0.905, 3.0, 0.003, 0.005, rng[1]),
         there_and_back(-64, 20, 1), "forward and back over part of a lobe"),
        ("grebe first", "grebe4", Bench(GREBE, 0.9, 3.5, 0.002, 0.005, rng[2]),
         there_and_back(-76, 112, 1), "forward and back over a whole lobe"),
        ("grebe one way", "grebe4", Bench(GREBE, 0.9, 3.5, 0.002, 0.005, rng[3]),
         list(range(-76, 113)), "forward only")])


def ten_readings():
    """The next pumps, ten readings each on the way forward, from the dwell before TDC."""
    paths = {"teal5": [-43, -38, -33, -28, -22, -16, -10, -5, 0, 6],
             "grebe4": [-54, -48, -42, -36, -29, -22, -15, -8, 0, 7]}
    return sweeps([
        (name, setup, Bench(pump, lift, slack, 0.003, 0.005, random.Random(50260 + k),
                            tdc_error_deg=error), paths[setup], "ten readings, next pump")
        for k, (name, setup, pump, lift, slack, error) in enumerate(NEXT)])


def main():
    folder = Path(sys.argv[1])
    for name, rows in (("pumps", setups()), ("whole_lobes", whole_lobes()),
                       ("ten_readings", ten_readings())):
        with open(folder / f"{name}.csv", "w", newline="", encoding="utf-8") as table:
            csv.writer(table, lineterminator="\n").writerows(rows)


if __name__ == "__main__":
    main()
