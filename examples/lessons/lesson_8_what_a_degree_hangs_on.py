# SPDX-License-Identifier: GPL-3.0-or-later
"""Lesson 8: what a crank degree hangs on, and which family of sums tells it."""
import lesson
from lesson import CAM, LIFT_MM, SETUP, dialarc

print(__doc__)
print("""  Everything between crank and nozzle moves injection by some degrees. Laid side by side
  they show what is worth an hour, and what is not worth a minute.""")
FUEL = dialarc.fuel_diesel()
STAGE = dialarc.Stage(22, 44, 0, 9.525, 0, 0)          # a belt of 9.525 mm pitch
SLOPE = 0.5 * CAM.rate_mm_per_deg(CAM.angle_at_lift(LIFT_MM))  # mm per crank degree
SETUP.sprocket_teeth = 44
moves = {}


def family(name, what, crank_deg):
    """One line of the picture."""
    moves[f"{what}\n({name})"] = abs(crank_deg)


# Drive: a longer belt turns the pump later: 0.3 mm of stretch, 65 K of warmth.
stretched = dialarc.Stage(22, 44, 0, 9.525, 0, 0.3)
family("drive", "belt stretched by 0.3 mm", dialarc.drive_stretch([stretched]))
warm = dialarc.drive_warming(180, 65, 2.3e-5, 0.5e-5)
family("drive", "engine warm by 65 K", dialarc.drive_arc([STAGE], 0, warm))

# Tooth: one at the pump.
family("tooth", "one tooth", dialarc.what_if(SETUP, teeth=-1).advance_crank_deg)

# Wear: of the belt in 1,000 hours, of the cam by 3 % of its lift.
wear = dialarc.Wear(settling=2e-4, settling_h=50, strain_per_1000_h=2e-4)
strain = dialarc.wear_strain(wear, 1000)
family("wear", "belt run for 1,000 hours", dialarc.wear_advance([STAGE], 0, 180, strain))
family("what-if", "cam worn by 3 %", dialarc.what_if(SETUP, cam_wear=0.03).advance_crank_deg)

# Dial: what a new one may err by over 10 mm.
limit = dialarc.diallimit_mm("standard", 0.01, 10, "whole_range")
family("dial limits", "dial at its limit", limit / SLOPE)

# TDC: a piston stop of 8 mm under a pin that is 0.8 mm off.
crank = dialarc.Crank(radius_mm=40, rod_mm=130, offset_mm=0.8)
stops = [dialarc.crank_angle_at_drop(crank, 8, side) for side in ("before", "after")]
family("crank, TDC", "middle of two stops", dialarc.tdc_stop_error(crank, *stops))

# Flywheel: 1 mm along a rim of 140 mm radius.
family("flywheel", "1 mm on the rim", dialarc.angle_from_rim_arc(1, 140))

# Fuel, delivery, line: compression to 15 MPa, and a pipe of 600 mm at 800 r/min.
modulus = dialarc.fuel_mean_modulus(FUEL, 40, 1, 15)
squeezed = dialarc.fuel_compression(2000, modulus, 14)
plunger = dialarc.Plunger(10, 0.3, 1.2)
family("fuel, delivery", "compression", dialarc.delivery_buildup(CAM, 2, plunger, squeezed))
delay_ms = dialarc.line_delay(600, dialarc.fuel_sound(FUEL, 40, 20))
family("line", "pipe at 800 r/min", delay_ms * 6e-3 * 800)

# Conformity: what a window of 0.04 mm leaves for all that is uncertain (95 %).
room = dialarc.conformity_budget(0.975, SETUP.lift_low_mm, SETUP.lift_high_mm)
family("conformity", "room in the window", 1.96 * room / SLOPE)

fig, axes = lesson.figure(size=(6.6, 6.2))
order = sorted(moves, key=moves.get)
axes.plot([moves[name] for name in order], order, "o", color="#0072B2")
for name in order:
    axes.annotate(f"{moves[name]:.2f}", (moves[name], name), (8, -3),
                  textcoords="offset points")
axes.set_xscale("log")
axes.set_xlim(right=3 * max(moves.values()))
axes.tick_params(axis="y", labelsize=8)
axes.set_xlabel("crank degrees")
lesson.save(fig, "lesson_8")
small = [name.split("\n")[0] for name in order
         if moves[name] < moves["room in the window\n(conformity)"]]
print("  See: less than the window leaves room for are\n    " + ",\n    ".join(small) +
      ".\n  All else has to be set right, or known.")
