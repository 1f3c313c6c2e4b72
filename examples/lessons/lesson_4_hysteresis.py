# SPDX-License-Identifier: GPL-3.0-or-later
"""Lesson 4: hysteresis of the dial against slack of the drive."""
import numpy as np

import lesson

print(__doc__)
print("""  Both make the way back differ from the way there. Slack shifts the curve sideways, so
  its gap in height is wide where the flank is steep. Hysteresis of the dial shifts it up
  and down by the same, however steep the flank.""")
forward = np.arange(-50.0, 14.1, 1.0)
crank = np.r_[forward, forward[::-1]]
fig, axes = lesson.figure()
for label, style, extra in (("slack of 1 crank degree", "-", {"slack_deg": 1.0}),
                            ("hysteresis of 0.02 mm", "--", {"hysteresis_mm": 0.02})):
    dial = lesson.readings(crank, **extra)
    gap = dial[len(forward):][::-1] - dial[:len(forward)]
    axes.plot(forward[3:-3], gap[3:-3], style, lw=1.8,
              color="#0072B2" if style == "-" else "#D55E00", label=label)
axes.set_xlabel("crank angle, degrees (0: firing TDC)")
axes.set_ylabel("reading going back less\nreading coming forward, mm")
axes.legend()
lesson.save(fig, "lesson_4")
print("  See: the gap of slack grows with the slope and is gone at the minimum; that of\n"
      "  hysteresis stays the same all along the flank. A two-way sweep tells them apart.")
