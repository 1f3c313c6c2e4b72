# SPDX-License-Identifier: GPL-3.0-or-later
"""Memory does not grow: after two rounds to warm up, 100 000 calls of each kind."""
import array
import gc
import resource
import unittest

import kit
from kit import DEMO, dialarc as d

CAM = kit.cam()
X, OUT = array.array("d", [1.0, 2.0, 3.0]), array.array("d", [0.0] * 3)
SETUPS_DATA = (DEMO / "setups.csv").read_bytes()
SETUPS = d.read_setups(SETUPS_DATA)
SWEEPS_DATA = (DEMO / "sweeps.csv").read_bytes()
SWEEP = d.read_sweeps(SWEEPS_DATA, SETUPS)[0]
STAGES = [d.Stage(20, 40, 0, 9.525, 0.1, 0.05)] * 2


def refused():
    try:
        CAM.lift_mm([1.0, float("nan")])
    except ValueError:
        pass


def refused_table():
    try:
        d.read_setups(b"setup,lobes\na,x\n")
    except d.TableError:
        pass


CALLS = [
    (100_000, lambda: CAM.lift_mm(1.0)),
    (100_000, lambda: CAM.lift_mm(X, out=OUT)),
    (100_000, lambda: CAM.lift_mm(X)),
    (100_000, lambda: CAM.lift_mm([1.0, 2.0])),
    (100_000, lambda: d.law_motion("poly345", 0.0, 0.5)),
    (100_000, lambda: d.drive_ratio(STAGES)),
    (20_000, lambda: CAM.copy()),
    (20_000, refused),
    (5_000, refused_table),
    (2_000, lambda: d.read_setups(SETUPS_DATA).values()),
    (100, lambda: list(d.iter_sweeps(SWEEPS_DATA, SETUPS))),
    (1_000, lambda: d.assess_sweep(SWEEP.setup, SWEEP).to_dict()),
    (2_000, lambda: d.camtable_from_cam(CAM, 90)),
    (200, lambda: d.propagate_linear([d.Input("normal", 1.0, 0.1)], lambda x: x[0])),
]


def resident_kib():
    with open("/proc/self/statm") as file:
        return int(file.read().split()[1]) * resource.getpagesize() // 1024


class Leaks(unittest.TestCase):
    def test_memory_does_not_grow(self):
        try:
            resident_kib()
        except OSError:
            self.skipTest("no /proc")
        for count, call in CALLS:
            grown = []
            for _ in range(10):
                gc.collect()
                before = resident_kib()
                for _ in range(count):
                    call()
                grown.append(resident_kib() - before)
                if len(grown) > 2 and grown[-1] <= 0:
                    break
            # Pages come and go at first; what leaks grows in every round.
            self.assertLessEqual(grown[-1], 0, (count, grown))


if __name__ == "__main__":
    kit.main()
