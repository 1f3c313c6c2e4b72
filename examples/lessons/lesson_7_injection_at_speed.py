# SPDX-License-Identifier: GPL-3.0-or-later
"""Lesson 7: from static setting to injection at speed."""
import numpy as np

import lesson
from lesson import CAM, dialarc

print(__doc__)
print("""  The setting is made standing still. Before the nozzle opens, the plunger has to compress
  the fuel: the same degrees at any speed. At speed the pipe delays injection by a fixed time,
  which is more degrees the faster the engine turns; the timing device moves it earlier.""")
fuel = dialarc.fuel_diesel()
sound = dialarc.fuel_sound(fuel, 40.0, 20.0)
delay_ms = dialarc.line_delay(600.0, sound)
# 2000 mm^3 between plunger and nozzle, from 1 MPa left in the pipe to 15 MPa at the nozzle.
modulus = dialarc.fuel_mean_modulus(fuel, 40.0, 1.0, 15.0)
buildup = dialarc.delivery_buildup(CAM, 2.0, dialarc.Plunger(10.0, 0.30, 1.2),
                                    dialarc.fuel_compression(2000.0, modulus, 14.0))
static = dialarc.delivery_start(CAM, 2.0, 0.30, lesson.LIFT_MM)
speed = np.linspace(0.0, 4500.0, 300)
fig, axes = lesson.figure()
for label, style, colour, device in (
        ("build-up and pipe", "--", "#D55E00",
         dialarc.Injection(delay_ms=delay_ms, buildup_crank_deg=buildup)),
        ("and timing device", "-", "#0072B2",
         dialarc.Injection([900.0, 3500.0], [0.0, 9.0], delay_ms, buildup))):
    axes.plot(speed, dialarc.injection_dynamic(device, static, speed), style, color=colour,
              lw=1.8, label=label)
axes.axhline(static, color="black", lw=0.8, ls=":")
axes.annotate("static setting", (4400.0, static), (0, 4), textcoords="offset points",
              ha="right")
axes.set_xlabel("crank speed, r/min")
axes.set_ylabel("injection begins,\ncrank degrees before TDC")
axes.legend(loc="lower left")
lesson.save(fig, "lesson_7")
print(f"  See: compression takes {buildup:.1f} degrees at any speed; a pipe of 600 mm takes "
      f"{delay_ms:.2f} ms, {delay_ms * 6e-3 * 800:.1f} degrees at 800 r/min and "
      f"{delay_ms * 6e-3 * 4000:.1f} at 4000. A strobe shows the sum, not the setting.")
