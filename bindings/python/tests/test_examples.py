# SPDX-License-Identifier: GPL-3.0-or-later
"""The example programs run and write what they say."""
import importlib.util
import os
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

import kit
from kit import DEMO, TOP

EXAMPLES = TOP / "examples/python"


@unittest.skipUnless(importlib.util.find_spec("matplotlib") and
                     importlib.util.find_spec("numpy"), "Matplotlib is not installed")
class Examples(unittest.TestCase):
    def run_example(self, path, *arguments, folder):
        done = subprocess.run([sys.executable, "-B", str(path.resolve()),
                               *map(str, arguments)], cwd=folder, capture_output=True,
                              text=True, env={**os.environ, "MPLCONFIGDIR": folder})
        self.assertEqual(done.returncode, 0, done.stderr)
        return done.stdout

    def test_lessons(self):
        lessons = sorted((TOP / "examples/lessons").glob("lesson_*.py"))
        self.assertGreaterEqual(len(lessons), 8)
        for number, path in enumerate(lessons, 1):
            with tempfile.TemporaryDirectory() as folder:
                out = self.run_example(path, folder, folder=folder)
                self.assertIn(f"Lesson {number}:", out)
                self.assertIn("See:", out)
                self.assertTrue(Path(folder, f"lesson_{number}.png").exists())

    def test_what_if(self):
        with tempfile.TemporaryDirectory() as folder:
            out = self.run_example(EXAMPLES / "what_if.py", folder=folder)
            self.assertIn("a tooth early", out)
            self.assertTrue(Path(folder, "what_if.svg").exists())

    def test_batch_report(self):
        with tempfile.TemporaryDirectory() as folder:
            out = self.run_example(EXAMPLES / "batch_report.py",
                                   (DEMO / "setups.csv").resolve(), DEMO.resolve(),
                                   folder=folder)
            self.assertIn("report.html", out)
            page = Path(folder, "report.html").read_text()
            self.assertIn("heron good", page)
            self.assertEqual(page.count("<svg"), page.count("<h2>"))
            self.assertNotIn("src=", page)
            ids = [part.split('"')[0] for part in page.split(' id="')[1:]]
            self.assertEqual(len(ids), len(set(ids)))
            self.assertTrue(Path(folder, "results.csv").read_text().startswith("sweep,"))


if __name__ == "__main__":
    kit.main()
