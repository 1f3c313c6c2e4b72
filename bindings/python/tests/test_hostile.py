# SPDX-License-Identifier: GPL-3.0-or-later
"""Every function and every field gets what it cannot use: exceptions, and no crash."""
import array
import os
import random
import sys
import time
import unittest

import kit
from kit import DEMO, dialarc as d
from dialarc._headers import FUNCTIONS, RECORDS
from dialarc._structs import restore

CALLS, SECONDS = 1000, 0.15  # for one function, at the most
SETUPS = d.read_setups(DEMO / "setups.csv")
SWEEPS = d.read_sweeps(DEMO / "sweeps.csv", SETUPS)
RESULT = d.assess_sweep(SWEEPS[0].setup, SWEEPS[0])


class Liar:
    """What claims to be a number and a sequence, and is neither."""

    def __float__(self):
        raise RuntimeError("no number")

    def __len__(self):
        return -1

    def __getitem__(self, index):
        raise IndexError

    def read(self, size):
        return b"x" * (size + 1)


def freed(kind):
    """A struct or a handle whose memory SWIG has lost."""
    return kind.__new__(kind)


NUMBERS = [0, 1, -1, 0.5, 4.0, 90.0, 1e-300, 1e300, float("nan"), float("inf"), 2 ** 31,
           2 ** 64, -2 ** 63, True]
PLAIN = [*NUMBERS, None, "", "a", "poly345", "\0", "\ud800", b"", b"setup,lobes\na,4\n",
         [],
         (), {}, 1j, object(), Liar(), print, lambda x: x[7], lambda x: "text", Ellipsis,
         [1.0, None], [[1.0]], range(5), array.array("d", [1.0, 2.0]),
         array.array("f", [1.0]), memoryview(b"12345678"), iter([1.0]),
         open(os.devnull, "rb"), "/", type]
GOOD = [SETUPS, SETUPS["heron4"], SWEEPS[0], RESULT, RESULT.timing, RESULT.decision,
        RESULT.findings, kit.cam(), kit.cam().table(), d.Workspace(), d.fuel_diesel(),
        d.Stage(20, 40, 0, 9.525, 0.1, 0.05), d.Round(1, 0.0, 0.7, 0),
        d.whatif_from_setup(SETUPS["heron4"]), d.SweepBuffer(),
        d.DialCal([0.0, 1.0], [0.0, 1.0]), d.Injection([], [], 0.0),
        *map(freed, (d.Cam, d.Setup, d.Setups, d.Workspace, d.Timing))]
# Trials that take minutes, whatever is asked.
LONG = {"propagate_adaptive", "propagate_monte_carlo", "whatif_propagate"}


class Hostile(unittest.TestCase):
    def setUp(self):
        self.random = random.Random(20260131)
        self.calls = self.refused = 0

    def argument(self):
        pick = self.random.choice
        return pick((lambda: pick(PLAIN), lambda: pick(GOOD), lambda: pick(NUMBERS),
                     lambda: [pick(NUMBERS) for _ in range(pick((0, 1, 3, 70)))],
                     lambda: [pick(GOOD)] * pick((1, 2)),
                     lambda: array.array("d", range(pick((0, 3, 17))))))()

    def refuses(self, what, call, *args, **keywords):
        self.calls += 1
        if os.environ.get("TRACE"):
            print(what, args, keywords, file=sys.stderr, flush=True)
        try:
            call(*args, **keywords)
        except Exception as error:  # whatever it is, it is no crash
            self.refused += 1
            self.assertNotIsInstance(error, (SystemError, NotImplementedError), what)
            if isinstance(error, d.DialarcError):
                self.assertTrue(str(error), what)

    def test_functions(self):
        for name in sorted({*FUNCTIONS, *d._functions.__all__} - LONG):
            function, end = getattr(d, name), time.monotonic() + SECONDS
            names = FUNCTIONS[name]["names"] if name in FUNCTIONS else "abcd"
            for _ in range(CALLS):
                count = self.random.choice((len(names), len(names),
                                            self.random.randrange(7)))
                keywords = {self.random.choice(("out", "x", *names)): self.argument()
                            for _ in range(self.random.choice((0, 0, 0, 1)))}
                self.refuses(name, function, *(self.argument() for _ in range(count)),
                             **keywords)
                if time.monotonic() > end:
                    break
        self.assertGreater(self.refused * 2, self.calls)

    def test_records(self):
        for name in RECORDS:
            kind = getattr(d, name)
            for _ in range(30):
                self.refuses(name, kind, *(self.argument() for _ in range(
                    self.random.randrange(5))))
            one = restore(kind, ())  # zeros, which are not checked
            for field in kind._attributes.values():
                for value in (self.argument() for _ in range(30)):
                    self.refuses((name, field), setattr, one.copy(), field, value)
                self.refuses((name, field), getattr, freed(kind), field)
            for action in (repr, kind.copy, kind.to_dict):
                self.refuses((name, action), action, freed(kind))

    def test_daily_work(self):
        for work in (d.assess, d.assess_sweep, d.assess_all, d.assess_each, d.plan_round,
                     d.read_sweeps, d.read_rounds, d.read_setups, d.read_cams, d.Sweep,
                     d.CamTable, d.DialCal, d.Injection, d.CamRecord, d.Job,
                     lambda *a: list(d.iter_sweeps(*a))):
            for _ in range(200):
                self.refuses(work, work, *(self.argument() for _ in range(
                    self.random.randrange(5))))


if __name__ == "__main__":
    kit.main()
