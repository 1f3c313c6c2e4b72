# SPDX-License-Identifier: GPL-3.0-or-later
"""Lesson 2: why zero at the minimum, although its angle is poorly seen."""
import numpy as np

import lesson

print(__doc__)
print("""  Near the minimum the dial hardly moves. That hides the angle of the minimum, but it is
  just what makes its reading safe: degrees of error there cost next to nothing.""")
crank = np.arange(-76.0, -20.0, 1.0)
dial = lesson.readings(crank, noise_mm=0.002, step_mm=0.005)
near = np.ascontiguousarray(crank[dial < 0.012])
fit = lesson.dialarc.minimum_fit(near, np.ascontiguousarray(dial[dial < 0.012]))
fig, axes = lesson.figure()
axes.plot(crank, dial, "o", ms=4, color="#0072B2", label="dial, read to 0.005 mm")
axes.axvspan(fit.angle_deg - 2 * fit.angle_sd_deg, fit.angle_deg + 2 * fit.angle_sd_deg,
             color="#E69F00", alpha=0.25, lw=0, label="angle of the minimum, 95 %")
axes.axhspan(fit.value_mm - 2 * fit.value_sd_mm, fit.value_mm + 2 * fit.value_sd_mm,
             color="#009E73", alpha=0.5, lw=0, label="reading at the minimum, 95 %")
axes.set_ylim(-0.01, 0.06)
axes.set_xlabel("crank angle, degrees (0: firing TDC)")
axes.set_ylabel("dial, mm")
axes.legend()
lesson.save(fig, "lesson_2")
print(f"  See: the angle is known to {2 * fit.angle_sd_deg:.1f} degrees only, the reading to "
      f"{2 * fit.value_sd_mm:.4f} mm. Zero the dial there.")
