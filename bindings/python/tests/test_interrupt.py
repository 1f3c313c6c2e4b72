# SPDX-License-Identifier: GPL-3.0-or-later
"""Ctrl-C ends long calls soon: each is interrupted by a timer long before it would end,
and must not go on for more than a fifth of a second."""
import array
import io
import signal
import tempfile
import time
import unittest

import kit
from kit import DEMO, dialarc as d

SETUPS = d.read_setups(DEMO / "setups.csv")
TABLE = (DEMO / "sweeps.csv").read_bytes()
LEARNED = d.read_sweeps(TABLE, SETUPS)[-1]
SOON = 0.2  # seconds


def table_of(copies):
    """A sweeps table of one sweep again and again, each with its name."""
    head, *rows = TABLE.decode().splitlines(keepends=True)
    mine = [row for row in rows if row.startswith("otter learned,")]
    return (head + "".join(row.replace("learned", str(i)) for i in range(copies)
                           for row in mine)).encode()


def too_late(signum, frame):
    raise KeyboardInterrupt


class Interrupt(unittest.TestCase):
    def setUp(self):
        for which in (signal.SIGALRM, signal.SIGPROF):
            self.addCleanup(signal.signal, which, signal.signal(which, too_late))

    def assert_heard(self, call, after=0.1, timer=signal.ITIMER_REAL,
                     clock=time.monotonic):
        """The exception comes at most SOON after the signal. A busy machine gets three
        tries."""
        late = []
        for _ in range(3):
            signal.setitimer(timer, after)
            begin = clock()
            with self.assertRaises(KeyboardInterrupt):
                call()
                signal.setitimer(timer, 0)
                self.fail("the call ended before the signal: it is too short for a test")
            late.append(clock() - begin - after)
            if late[-1] < SOON:
                return
        self.fail(f"heard after {min(late):.2f} s")

    def test_batch(self):
        sweeps = [LEARNED] * 500
        for threads in (1, 2):
            self.assert_heard(lambda: d.batch_assess([LEARNED.setup] * 500, sweeps,
                                                     threads))
            self.assert_heard(lambda: d.assess_all(None, sweeps, threads=threads))
            self.assert_heard(lambda: d.assess_each(sweeps, threads=threads))

    def test_stream(self):
        table = table_of(500)
        for threads in (1, 2):
            self.assert_heard(lambda: d.stream_assess(table, SETUPS, threads))
            self.assert_heard(lambda: d.stream_assess(io.BytesIO(table), SETUPS, threads))

    def test_tables(self):
        table = table_of(40000)
        with tempfile.NamedTemporaryFile(suffix=".csv") as file:
            file.write(table)
            file.flush()
            self.assert_heard(lambda: d.sweeps_load(file.name, SETUPS), 0.05)
        self.assert_heard(lambda: d.sweeps_read(table, SETUPS), 0.05)
        self.assert_heard(lambda: d.sweeps_read(io.BytesIO(table), SETUPS), 0.05)
        self.assert_heard(lambda: list(d.iter_sweeps(io.BytesIO(table), SETUPS)), 0.05)

    def test_long_arrays(self):
        """One thread works here, so the processor's time is that of an idle machine."""
        lifts, table = array.array("d", [1.0]) * 4_000_000, kit.cam().table()
        for call in (lambda: d.timing_shift_lift(kit.cam(), 2.0, 1.0, lifts),
                     lambda: d.camcompare_array(table, table, 1, 0.001, lifts)):
            self.assert_heard(call, 0.2, signal.ITIMER_PROF, time.process_time)


if __name__ == "__main__":
    kit.main()
