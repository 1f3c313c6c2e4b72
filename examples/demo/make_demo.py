#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes the demonstration tables: python3 make_demo.py FOLDER

Everything in them is invented: engines, settings, windows and readings. The readings come
from a simulated pump, drive, dial and mechanic, with a fixed seed. Nothing is shared with
the library.
"""
import csv
import math
import random
import sys
from pathlib import Path


def poly345(u):
    return u ** 3 * (10 - 15 * u + 6 * u * u)


def cycloidal(u):
    return u - math.sin(2 * math.pi * u) / (2 * math.pi)


def modified_sine(u):
    k = 1 / (4 + math.pi)
    if u < 1 / 8:
        return k * (math.pi * u - math.sin(4 * math.pi * u) / 4)
    if u <= 7 / 8:
        return k * (2 + math.pi * u - 9 / 4 * math.sin((math.pi + 4 * math.pi * u) / 3))
    return k * (4 + math.pi * u - math.sin(4 * math.pi * u) / 4)


class Pump:
    """Lift against pump angle; 0 is the foot of the rise of the timed cylinder's lobe."""

    def __init__(self, lobes, law, lift_mm, rise_deg, top_deg, base_deg):
        self.law, self.lift_mm, self.rise, self.top = law, lift_mm, rise_deg, top_deg
        self.pitch = 360 / lobes
        self.fall = self.pitch - rise_deg - top_deg - base_deg

    def lift(self, pump_deg):
        angle = pump_deg % self.pitch
        if angle < self.rise:
            return self.lift_mm * self.law(angle / self.rise)
        angle -= self.rise + self.top
        if angle < 0:
            return self.lift_mm
        if angle < self.fall:
            return self.lift_mm * self.law(1 - angle / self.fall)
        return 0.0

    def angle(self, lift_mm):
        """Pump angle on the rise at which there is this much lift."""
        low, high = 0.0, self.rise
        while high - low > 1e-12:
            middle = (low + high) / 2
            if self.lift(middle) < lift_mm:
                low = middle
            else:
                high = middle
        return low


class Play:
    """Backlash: the output follows the input but for a gap of a given full width."""

    def __init__(self, width, output):
        self.width, self.output = width, output

    def move(self, to):
        self.output = min(max(self.output, to - self.width / 2), to + self.width / 2)
        return self.output


class Bench:
    """A pump on its engine, set so that the lift at TDC is as wanted, and a mechanic."""

    def __init__(self, pump, lift_tdc_mm, slack_deg, hysteresis_mm, step_mm, rng,
                 angle_sd=0.2, dial_sd=0.002, tdc_error_deg=0.08):
        self.pump, self.rng = pump, rng
        self.slack, self.hysteresis, self.step = slack_deg, hysteresis_mm, step_mm
        self.angle_sd, self.dial_sd, self.tdc_error = angle_sd, dial_sd, tdc_error_deg
        # In running direction the pump lags by half the slack.
        self.phase = pump.angle(lift_tdc_mm) + slack_deg / 4

    def sweep(self, path):
        """Readings at the crank angles of a path, which the crank comes to from above."""
        drive = Play(self.slack, path[0] + self.slack)
        drive.move(path[0] + 1.0)
        dial = Play(self.hysteresis, 0.0)
        dial.move(self.pump.lift(self.phase + drive.output / 2))
        readings = []
        for crank in path:
            lift = self.pump.lift(self.phase + drive.move(crank) / 2)
            shown = dial.move(lift) + self.rng.gauss(0, self.dial_sd)
            angle = crank + self.tdc_error + self.rng.gauss(0, self.angle_sd)
            readings.append([round(angle * 2) / 2, round(shown / self.step) * self.step])
        least = min(reading[1] for reading in readings)
        for reading in readings:
            reading[1] -= least
        return readings


def there_and_back(start, end, step):
    up = list(range(start, end + 1, step))
    return up + up[-2::-1]


# Of the marks: what the setups state as their standard uncertainty, or nearly so.
TDC_ERROR_DEG = {"heron4": 0.08, "badger6": 0.05, "otter4": 0.3}


def setups():
    names = ("setup lobes crank_per_pump lift_low_mm lift_high_mm window_at cam_law "
             "cam_lift_mm rise_deg top_dwell_deg base_dwell_deg angle_sd_deg tdc_sd_deg "
             "dial_sd_mm dial_step_mm dial_turn_mm dial_sense dial_hysteresis_mm "
             "dial_error_mm dial dial_preload_mm turned turn_back body_radius_mm sprocket_teeth "
             "sprocket_radius_mm rotation remark").split()
    return [names,
            "heron4 4 2 0.88 0.92 tdc poly345 2.2 38 2 10 0.25 0.08 0.002 0.005 1 1 0.004 "
            "0.003 bench 1.5 body allowed 75 44 66 cw".split() +
            ["invented four-cylinder engine; TDC found by a stop on the piston"],
            "badger6 6 2 1.05 1.09 tdc cycloidal 2.45 28 1.5 6 0.25 0.05 0.002 0.005 1 1 "
            "0.004 0.003 bench 1.5 shaft allowed".split() + ["", "40", "60", "ccw"] +
            ["invented six-cylinder engine; TDC found by two equal drops of the piston"],
            ["otter4", "4", "", "0.70", "0.74"] + [""] * 22 +
            ["invented four-cylinder engine; nothing known but the lobes and the window"]]


def sweeps():
    heron = Pump(4, poly345, 2.2, 38, 2, 10)
    badger = Pump(6, cycloidal, 2.45, 28, 1.5, 6)
    otter = Pump(4, modified_sine, 2.0, 36, 0, 14)
    long4, long6 = there_and_back(-64, 14, 2), there_and_back(-58, 14, 2)
    # name, setup, pump, lift at TDC, slack, hysteresis, path, remark
    jobs = [("heron good", "heron4", heron, 0.903, 3.0, 0.003, long4, ""),
            ("heron late", "heron4", heron, 0.762, 3.0, 0.003, long4, ""),
            ("heron early", "heron4", heron, 1.021, 2.0, 0.002, long4, ""),
            ("badger misread", "badger6", badger, 1.068, 4.5, 0.003, long6,
             "some readings written down wrongly"),
            ("badger one way", "badger6", badger, 1.118, 4.5, 0.003,
             list(range(-58, 3, 2)), "forward only"),
            ("badger short", "badger6", badger, 1.07, 4.5, 0.003,
             list(range(-18, 15, 2)), "begun too late to see the minimum"),
            ("otter learned", "otter4", otter, 0.727, 2.5, 0.002,
             there_and_back(-66, 16, 2), "cam not known")]
    misread = {9: 0.1, 21: -0.01, 33: 1.0, 47: 0.05}
    rows = [["sweep", "setup", "crank_deg", "dial_mm", "remark"]]
    for seed, (name, setup, pump, lift, slack, hysteresis, path, remark) in enumerate(jobs):
        bench = Bench(pump, lift, slack, hysteresis, 0.005, random.Random(20260 + seed),
                      tdc_error_deg=TDC_ERROR_DEG[setup])
        readings = bench.sweep(path)
        for k, (crank, dial) in enumerate(readings):
            if name == "badger misread":
                dial += misread.get(k, 0.0)
            note = "invented" + ("; " + remark if remark else "") if k == 0 else ""
            rows.append([name, setup, f"{crank:.1f}", f"{dial:.3f}", note])
    return rows


def twelve():
    """Twelve readings where dialarc plan says, as they are written down at the engine."""
    heron = Pump(4, poly345, 2.2, 38, 2, 10)
    path = [-99, -39, -38, -4, -3, -1, 0, 1, 2, 3, 20, -99]
    bench = Bench(heron, 0.805, 3.0, 0.003, 0.005, random.Random(20267),
                  tdc_error_deg=TDC_ERROR_DEG["heron4"])
    return [["sweep", "setup", "crank_deg", "dial_mm", "remark"]] + [
        ["heron twelve", "heron4", f"{crank:.1f}", f"{dial:.3f}", "" if k else "invented"]
        for k, (crank, dial) in enumerate(bench.sweep(path))]


def rounds():
    return [["job", "setup", "round", "minimum_mm", "tdc_mm", "state", "remark"],
            ["heron afternoon", "heron4", 1, "0.000", "0.780", "loose", "invented"],
            ["heron afternoon", "heron4", 1, "0.000", "0.765", "tight", ""],
            ["heron afternoon", "heron4", 2, "0.000", "0.950", "loose", ""],
            ["heron afternoon", "heron4", 2, "0.005", "0.945", "tight", ""],
            ["heron afternoon", "heron4", 3, "0.000", "0.910", "loose", ""],
            ["heron afternoon", "heron4", 3, "0.000", "0.895", "tight", ""],
            ["badger first look", "badger6", 1, "0.000", "0.940", "loose", "invented"],
            ["otter dropped dial", "otter4", 1, "0.000", "0.700", "loose", "invented"],
            ["otter dropped dial", "otter4", 1, "0.000", "0.690", "tight", ""],
            ["otter dropped dial", "otter4", 2, "-0.060", "0.580", "loose", ""]]


def dials():
    """Calibration of a dial that errs by up to 4 micrometres within a turn."""
    rows = [["dial", "shown_mm", "true_mm", "u_mm", "calibrated_on", "certificate"]]
    for k in range(0, 51):
        shown = 0.1 * k
        error = 0.002 * (math.sin(2 * math.pi * shown + 0.8) - math.sin(0.8))
        error += 0.0006 * shown
        rows.append(["bench", f"{shown:.1f}", f"{shown - error:.4f}", "0.0008",
                     "" if k else "2026-01-12", "" if k else "invented 17"])
    return rows


def main():
    folder = Path(sys.argv[1])
    for name, rows in (("setups", setups()), ("sweeps", sweeps()), ("rounds", rounds()),
                       ("dials", dials()), ("twelve", twelve())):
        with open(folder / f"{name}.csv", "w", newline="", encoding="utf-8") as table:
            csv.writer(table, lineterminator="\n").writerows(rows)


if __name__ == "__main__":
    main()
