#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes the demonstration gauge study: python3 make_gauge.py FOLDER

Everything in it is invented: the engines heron4 and badger6 are those of make_demo.py,
the others are no more than a lift, and the hands left, right and third are nobody's.
The seeds are fixed.
"""
import csv
import random
import sys
from pathlib import Path

from make_demo import Bench, Pump, cycloidal, poly345, there_and_back

HANDS = ("left", "right", "third")
HAND_MM = {"left": 0.002, "right": -0.003, "third": 0.001}
TIMES = 2


def lifts():
    """Four engines as they were set, measured twice by each of three hands."""
    rng = random.Random(30300)
    rows = [["sweep", "setup", "hand", "lift_mm", "remark"]]
    for engine, lift in (("heron4", 0.902), ("wren4", 0.871), ("stork4", 0.934),
                         ("plover4", 0.889)):
        for hand in HANDS:
            both = rng.gauss(0, 0.002)
            for time in range(1, TIMES + 1):
                found = lift + HAND_MM[hand] + both + rng.gauss(0, 0.003)
                rows.append([f"{engine} {hand} {time}", engine, hand, f"{found:.4f}",
                             "" if len(rows) > 1 else "invented"])
    return rows


def study():
    """Two engines with the sweeps themselves in place of the lifts."""
    heron = Pump(4, poly345, 2.2, 38, 2, 10)
    badger = Pump(6, cycloidal, 2.45, 28, 1.5, 6)
    rows = [["sweep", "setup", "hand", "remark"]]
    readings = [["sweep", "setup", "crank_deg", "dial_mm", "remark"]]
    for engine, pump, lift, path in (
            ("heron4", heron, 0.902, there_and_back(-76, 20, 6)),
            ("badger6", badger, 1.066, there_and_back(-60, 16, 4))):
        for hand in HANDS:
            for time in range(1, TIMES + 1):
                name = f"{engine} {hand} {time}"
                rng = random.Random(30310 + len(rows))
                bench = Bench(pump, lift + HAND_MM[hand], 3.0, 0.003, 0.005, rng)
                rows.append([name, engine, hand, "" if len(rows) > 1 else "invented"])
                for crank, dial in bench.sweep(path):
                    readings.append([name, engine, f"{crank:.1f}", f"{dial:.3f}",
                                     "" if len(readings) > 1 else "invented"])
    return rows, readings


def main():
    rows, readings = study()
    for name, table in (("lifts.csv", lifts()), ("study.csv", rows),
                        ("study_sweeps.csv", readings)):
        with open(Path(sys.argv[1]) / name, "w", newline="", encoding="utf-8") as out:
            csv.writer(out, lineterminator="\n").writerows(table)


if __name__ == "__main__":
    main()
