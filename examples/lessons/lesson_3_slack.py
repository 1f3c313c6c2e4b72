# SPDX-License-Identifier: GPL-3.0-or-later
"""Lesson 3: slack, and why to come from behind."""
import numpy as np

import lesson

print(__doc__)
print("""  Belt and gears have play. Turn the engine back to a mark and the crank is there, but the
  pump still stands where it was: the dial shows too much.""")
forward = np.arange(-60.0, 14.1, 2.0)
crank = np.r_[forward, forward[::-1]]
dial = lesson.readings(crank, slack_deg=3.0)
result = lesson.dialarc.assess(lesson.SETUP, crank, dial, name="invented")
lesson.save(lesson.dialarc.plot.slack_loop(result), "lesson_3")
at = {way: float(np.interp(0.0, forward, part)) for way, part in
      (("forward", dial[:len(forward)]), ("back", dial[len(forward):][::-1]))}
print(f"  See: with 3 degrees of slack the dial shows {at['forward']:.3f} mm at TDC coming "
      f"forward and {at['back']:.3f} mm going back. Always come from behind, forward.")
