# SPDX-License-Identifier: GPL-3.0-or-later
"""Lesson 7: from static setting to injection at speed."""
import numpy as np

import lesson
from lesson import CAM, dialarc

print(__doc__)
print("""  The setting is made standing still. At speed the pipe delays injection by a fixed time,
  which is more degrees the faster the engine turns; the timing device moves it earlier.""")
fuel = dialarc.fuel_diesel()
sound = dialarc.fuel_sound(fuel, 40.0, 20.0)
delay_ms = dialarc.line_delay(600.0, sound)
static = dialarc.delivery_start(CAM, 2.0, 0.30, lesson.LIFT_MM)
speed = np.linspace(0.0, 4500.0, 300)
fig, axes = lesson.figure()
for label, style, colour, device in (
        ("pipe alone", "--", "#D55E00", dialarc.Injection(delay_ms=delay_ms)),
        ("pipe and timing device", "-", "#0072B2",
         dialarc.Injection([900.0, 3500.0], [0.0, 9.0], delay_ms))):
    axes.plot(speed, dialarc.injection_dynamic(device, static, speed), style, color=colour,
              lw=1.8, label=label)
axes.axhline(static, color="black", lw=0.8, ls=":")
axes.annotate("static setting", (4400.0, static), (0, 4), textcoords="offset points",
              ha="right")
axes.set_xlabel("crank speed, r/min")
axes.set_ylabel("injection begins,\ncrank degrees before TDC")
axes.legend(loc="lower left")
lesson.save(fig, "lesson_7")
print(f"  See: a pipe of 600 mm takes {delay_ms:.2f} ms, {delay_ms * 6e-3 * 800:.1f} degrees at "
      f"800 r/min and {delay_ms * 6e-3 * 4000:.1f} at 4000. A strobe shows the sum, not the "
      "setting.")
