# SPDX-License-Identifier: GPL-3.0-or-later
"""What the tests share: where the data is, and running them."""
import faulthandler
import os
import sys
import unittest
from pathlib import Path

TOP = Path(os.environ.get("srcdir") or Path(__file__).resolve().parents[3])
DEMO = TOP / "examples/demo"

import dialarc  # noqa: E402


def cam(**other):
    return dialarc.Cam(**{"lobes": 4, "lift_mm": 2.2, "rise_deg": 38, "top_dwell_deg": 2,
                          "base_dwell_deg": 10, "law": "poly345", **other})


def main():
    """Runs the tests of the calling script; 77 when all were skipped. One that hangs
    ends, and tells where."""
    faulthandler.dump_traceback_later(1200, exit=True)
    result = unittest.main(exit=False).result
    if not result.wasSuccessful():
        sys.exit(1)
    sys.exit(77 if result.testsRun and len(result.skipped) == result.testsRun else 0)
