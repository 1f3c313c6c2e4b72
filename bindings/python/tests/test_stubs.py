# SPDX-License-Identifier: GPL-3.0-or-later
"""The type stubs say what the module is: mypy.stubtest, where mypy is installed."""
import importlib.util
import subprocess
import sys
import tempfile
import unittest
from pathlib import Path

import kit

ALLOW = Path(kit.TOP, "bindings/python/stubtest.allow").resolve()
USE = '''
import dialarc
cam = dialarc.Cam(lobes=4, lift_mm=2.2, rise_deg=38, law="poly345")
lift: float = cam.lift_mm(10.0)
result = dialarc.assess(dialarc.Setup(lobes=4), [0.0], [0.0])
text: str = result.line()
'''
MISUSE = '''
import dialarc
dialarc.Cam(lobes="four")
dialarc.angle_rim_arc("x", 1.0)
'''


@unittest.skipIf(importlib.util.find_spec("mypy") is None, "mypy is not installed")
class Stubs(unittest.TestCase):
    def run_mypy(self, *arguments):
        with tempfile.TemporaryDirectory() as folder:
            return subprocess.run([sys.executable, "-P", "-m", *arguments], cwd=folder,
                                  capture_output=True, text=True)

    def test_stubs_and_module_agree(self):
        done = self.run_mypy("mypy.stubtest", "dialarc", "--allowlist", str(ALLOW),
                             "--ignore-unused-allowlist")
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)

    def test_use_passes_and_misuse_is_seen(self):
        good = self.run_mypy("mypy", "--strict", "-c", USE)
        self.assertEqual(good.returncode, 0, good.stdout)
        bad = self.run_mypy("mypy", "-c", MISUSE)
        self.assertEqual(bad.stdout.count("error:"), 2, bad.stdout)


if __name__ == "__main__":
    kit.main()
