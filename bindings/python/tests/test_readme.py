# SPDX-License-Identifier: GPL-3.0-or-later
"""The examples of the READMEs run, and pass a type checker, as they stand there."""
import gzip
import importlib.util
import os
import re
import shutil
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

import kit
from kit import DEMO, TOP

# What the example for Spark finds there: a scheduler that does the work at once.
SPARK = '''
import types
class Work(list):
    def map(self, work): return Work(map(work, self))
    def toLocalIterator(self): return iter(self)
context = types.SimpleNamespace(parallelize=lambda names, parts: Work(names))
spark, folder = types.SimpleNamespace(sparkContext=context), "archive"
'''


def blocks(path):
    return re.findall(r"^```python\n(.*?)^```$", Path(TOP, path).read_text(), re.S | re.M)


def have(*modules):
    return all(importlib.util.find_spec(module) for module in modules)


@unittest.skipUnless(have("matplotlib", "numpy", "pandas"),
                     "Matplotlib and pandas are needed")
class Readme(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = Path(folder.name)
        for table in DEMO.glob("*.csv"):
            shutil.copy(table, folder.name)
        (self.folder / "archive").mkdir()
        with gzip.open(self.folder / "archive/day.csv.gz", "wb") as packed:
            packed.write((DEMO / "sweeps.csv").read_bytes())

    def run_block(self, block, before=""):
        path = os.pathsep.join([str((TOP / "examples/python").resolve()),
                                os.environ.get("PYTHONPATH", "")])
        done = subprocess.run(
            [sys.executable, "-B", "-c", before + block], cwd=self.folder, text=True,
            capture_output=True, env={**os.environ, "MPLCONFIGDIR": str(self.folder),
                                      "PYTHONPATH": path})
        self.assertEqual(done.returncode, 0, block + done.stderr)
        return done.stdout

    def test_the_first_example(self):
        (block,) = blocks("README.md")
        self.assertRegex(self.run_block(block), r"^0\.72\d* in$")
        self.assertTrue((self.folder / "sweep.svg").exists())

    def test_examples_for_python(self):
        found = blocks("bindings/python/README.md")[:9]
        first, tables, steps, guide, live, checks, dials, cams, spark = found
        self.assertIn("lift 0.72", self.run_block(first))
        self.assertIn("heron good", self.run_block(tables))
        self.assertRegex(self.run_block(steps), r"(?m)^1 With the fasteners loose, turn")
        self.assertRegex(self.run_block(guide), r"^within 0\.0\d+ mm at \[-")
        self.assertIn("['reading', 'struck'] 1", self.run_block(live))
        self.assertRegex(self.run_block(checks), r"(?s)^True 7\.1 .*\n0\.004\n$")
        self.assertEqual(self.run_block(dials), "2.5014\n")
        self.assertRegex(self.run_block(cams), r"^0\.7\d mm, within 0\.\d+ mm$")
        self.run_block(spark, SPARK)
        self.assertIn("day.csv.gz,heron good,", (self.folder / "results.csv").read_text())

    @unittest.skipUnless(have("mypy"), "mypy is not installed")
    def test_types(self):
        for block in blocks("README.md") + blocks("bindings/python/README.md"):
            if "spark" in block:
                continue
            done = subprocess.run([sys.executable, "-P", "-m", "mypy", "--strict",
                                   "--ignore-missing-imports", "-c", block],
                                  cwd=self.folder, text=True, capture_output=True)
            self.assertEqual(done.returncode, 0, block + done.stdout + done.stderr)


if __name__ == "__main__":
    kit.main()
