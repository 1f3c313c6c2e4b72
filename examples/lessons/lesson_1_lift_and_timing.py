# SPDX-License-Identifier: GPL-3.0-or-later
"""Lesson 1: how lift becomes timing."""
import numpy as np

import lesson
from lesson import CAM

print(__doc__)
print("""  The plunger pushes fuel once it has closed its port, here at 0.30 mm of lift. The more
  lift it has at TDC, the earlier before TDC that was. So a lift is a timing.""")
lift = np.linspace(0.35, 1.6, 200)
start = np.array([lesson.dialarc.delivery_start(CAM, 2.0, 0.30, value) for value in lift])
fig, (top, below) = lesson.figure(2, (6.6, 5.4))
crank = np.linspace(-60.0, 20.0, 400)
top.plot(crank, CAM.lift_mm((crank - lesson.FOOT_CRANK_DEG) / 2.0), color="black")
top.plot([0.0], [lesson.LIFT_MM], "D", color="#D55E00")
top.annotate("lift at TDC", (0.0, lesson.LIFT_MM), (8, -10), textcoords="offset points")
top.axhline(0.30, color="#0072B2", ls="--", lw=1)
top.annotate("port closes", (-58.0, 0.30), (0, 4), textcoords="offset points")
top.set_xlabel("crank angle, degrees (0: firing TDC)")
top.set_ylabel("lift, mm")
below.plot(lift, start, color="#0072B2")
below.set_xlabel("lift at TDC, mm")
below.set_ylabel("delivery begins,\ncrank degrees before TDC")
lesson.save(fig, "lesson_1")
slope = np.gradient(start, lift)[np.argmin(abs(lift - lesson.LIFT_MM))]
print(f"  See: at {lesson.LIFT_MM:g} mm, 0.1 mm more makes delivery {0.1 * slope:.1f} crank "
      "degrees earlier.")
