# SPDX-License-Identifier: GPL-3.0-or-later
"""An archive spread over two workers, one of which is killed midway."""
import gzip
import importlib.util
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

import kit
from kit import DEMO, TOP

EXAMPLES = (TOP / "examples/python").resolve()
sys.path.insert(0, str(EXAMPLES))
import fleet_dask  # noqa: E402

FILES = 8
VICTIM = "bench/06.csv.gz"


def assess_or_die(setups, folder, name):
    """Notes each attempt, and takes the worker along on the first one at the victim, in
    the middle of the work, and on every one at the poison."""
    notes = Path(folder).parent
    with open(notes / "attempts", "a", encoding="utf-8") as log:
        log.write(f"{name}\n")
    if name == "poison.csv":
        os.kill(os.getpid(), signal.SIGKILL)
    rows = fleet_dask.assess_file(setups, folder, name)
    if name == VICTIM and not (notes / "killed").exists():
        (notes / "killed").write_text(str(os.getpid()))
        os.kill(os.getpid(), signal.SIGKILL)
    return rows


def make_archive(top):
    """Sweeps of the demonstration by other names, some compressed and a folder down."""
    table = (DEMO / "sweeps.csv").read_text()
    (top / "archive/bench").mkdir(parents=True)
    for number in range(FILES):
        data = table.replace("heron good", f"heron good {number}").encode()
        if number % 2:
            (top / f"archive/{number:02}.csv").write_bytes(data)
        else:
            (top / f"archive/bench/{number:02}.csv.gz").write_bytes(gzip.compress(data))
    shutil.copy(DEMO / "setups.csv", top / "archive/setups.csv")
    return str(top / "archive"), (DEMO / "setups.csv").read_bytes()


@unittest.skipUnless(importlib.util.find_spec("distributed"),
                     "Dask's distributed scheduler is not installed")
class Fleet(unittest.TestCase):
    def setUp(self):
        holder = tempfile.TemporaryDirectory()
        self.addCleanup(holder.cleanup)
        self.top = Path(holder.name)
        self.folder, self.setups = make_archive(self.top)
        self.names = fleet_dask.find_files(self.folder, [self.top / "archive/setups.csv"])
        self.assertEqual(len(self.names), FILES)
        self.plain = "file," + kit.dialarc.results_header() + "".join(
            fleet_dask.assess_file(self.setups, self.folder, name) for name in self.names)
        self.assertEqual(self.plain.count("\n"), 1 + 7 * FILES)

    def run_killing(self, names):
        import dask
        from distributed import Client
        out = self.top / "out.csv"
        with dask.config.set({"distributed.scheduler.allowed-failures": 1}), \
                fleet_dask.local_cluster(2, silence_logs=60,
                                         local_directory=str(self.top)) as cluster, \
                Client(cluster) as client:
            before = {worker.process.pid for worker in cluster.workers.values()}
            faults = fleet_dask.write_results(out, fleet_dask.assess_fleet(
                client, self.setups, self.folder, names, assess_or_die))
            client.wait_for_workers(2, timeout=120)
        return faults, out.read_text(), before

    def test_a_worker_is_killed(self):
        faults, text, before = self.run_killing(self.names)
        self.assertEqual(faults, {})
        self.assertEqual(text, self.plain)
        self.assertIn(int((self.top / "killed").read_text()), before)
        attempts = (self.top / "attempts").read_text().split()
        self.assertEqual(set(attempts), set(self.names))
        self.assertGreater(attempts.count(VICTIM), 1)

    def test_a_file_that_kills_every_worker(self):
        shutil.copy(DEMO / "sweeps.csv", self.top / "archive/poison.csv")
        names = [*self.names[:2], "poison.csv", *self.names[2:]]
        faults, text, _ = self.run_killing(names)
        self.assertEqual(list(faults), ["poison.csv"])
        self.assertEqual(text, self.plain)

    def run_program(self, *more):
        return subprocess.run(
            [sys.executable, "-B", str(EXAMPLES / "fleet_dask.py"),
             str(self.top / "archive/setups.csv"), self.folder, "--out",
             str(self.top / "out.csv"), "--workers", "2", *more],
            cwd=self.top, capture_output=True, text=True, timeout=300)

    def test_program_and_files_that_cannot_be_read(self):
        whole = (self.top / f"archive/{VICTIM}").read_bytes()
        (self.top / "archive/cut.csv.gz").write_bytes(whole[:-100])
        (self.top / "archive/other.csv").write_text("a,b\n1,2\n")
        done = self.run_program()
        self.assertEqual(done.returncode, 1, done.stderr)
        self.assertEqual((self.top / "out.csv").read_text(), self.plain)
        for name in ("cut.csv.gz", "other.csv"):
            self.assertIn(f"fleet_dask: {name}: ", done.stderr)
        self.assertIn(f"{FILES} of {FILES + 2} files", done.stdout)

    def test_nothing_is_written(self):
        (self.top / "archive/bench/06.csv").write_text("the same, not compressed")
        done = self.run_program()
        self.assertEqual(done.returncode, 2, done.stderr)
        self.assertIn("twice", done.stderr)
        self.assertFalse((self.top / "out.csv").exists())


if __name__ == "__main__":
    kit.main()
