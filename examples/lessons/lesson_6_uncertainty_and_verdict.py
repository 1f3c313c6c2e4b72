# SPDX-License-Identifier: GPL-3.0-or-later
"""Lesson 6: uncertainty and the verdict."""
import numpy as np

import lesson
from lesson import SETUP, dialarc

print(__doc__)
print("""  A lift that is read inside the window may still lie outside. The verdict is "in" or
  "out" only when that is 97.5 % sure; between lies a strip where nobody can tell.""")
lift = np.linspace(SETUP.lift_low_mm - 0.05, SETUP.lift_high_mm + 0.05, 400)
fig, axes = lesson.figure()
for u_mm, style, colour in ((0.01, "-", "#0072B2"), (0.02, "--", "#D55E00")):
    sd = np.full_like(lift, u_mm / 1.96)
    inside = dialarc.conformity_probability(lift, sd, SETUP.lift_low_mm, SETUP.lift_high_mm)
    axes.plot(lift, 100.0 * inside, style, color=colour, lw=1.8,
              label=f"lift known within {u_mm:g} mm")
    sure = lift[inside >= 0.975]
    print(f"  Within {u_mm:g} mm: \"in\" from {sure.min():.3f} to {sure.max():.3f} mm."
          if len(sure) else f"  Within {u_mm:g} mm: never sure.")
axes.axvspan(SETUP.lift_low_mm, SETUP.lift_high_mm, color="#009E73", alpha=0.15, lw=0,
             label="window")
axes.axhline(97.5, color="#666666", lw=0.8, ls=":")
axes.set_xlabel("lift found, mm")
axes.set_ylabel("chance that the setting is in, %")
axes.legend(loc="lower center", fontsize=8)
lesson.save(fig, "lesson_6")
forward = np.arange(-60.0, 14.1, 2.0)
crank = np.r_[forward, forward[::-1]]
dial = lesson.readings(crank, slack_deg=2.0, hysteresis_mm=0.003, noise_mm=0.002,
                       step_mm=0.005)
result = dialarc.assess(SETUP, crank, dial, name="invented")
lesson.save(dialarc.plot.budget(result), "lesson_6_budget")
print(f"  See: {result!r}.\n  The bars say which error to fight first.")
