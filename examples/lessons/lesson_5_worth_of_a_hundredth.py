# SPDX-License-Identifier: GPL-3.0-or-later
"""Lesson 5: what 0.01 mm is worth in degrees along the flank."""
import numpy as np

import lesson

print(__doc__)
print("""  The dial is read in hundredths, the engine feels crank degrees. What one is worth in
  the other depends on the slope of the cam at the lift in question.""")
lift = np.linspace(0.05, 2.15, 300)
slope = lesson.CAM.rate_mm_per_deg(lesson.CAM.angle_at_lift(lift)) / 2.0
worth = 0.01 / slope
fig, axes = lesson.figure()
axes.plot(lift, worth, color="#0072B2", lw=1.8)
axes.axvspan(lesson.SETUP.lift_low_mm, lesson.SETUP.lift_high_mm, color="#009E73", alpha=0.2,
             lw=0, label="window")
axes.set_ylim(0.0, 1.0)
axes.set_xlabel("lift at TDC, mm")
axes.set_ylabel("0.01 mm of lift, in crank degrees")
axes.legend()
lesson.save(fig, "lesson_5")
here, low = (float(np.interp(at, lift, worth)) for at in (lesson.LIFT_MM, 0.1))
print(f"  See: at {lesson.LIFT_MM:g} mm a hundredth is {here:.2f} crank degrees; at 0.1 mm, low "
      f"on the flank, it would be {low:.2f}. Set where the flank is steep.")
