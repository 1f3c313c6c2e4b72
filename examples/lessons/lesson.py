# SPDX-License-Identifier: GPL-3.0-or-later
"""What the lessons share: an invented engine, and where figures go."""
import sys
from pathlib import Path

import numpy as np

import dialarc

# Invented: a four-lobe pump on a four-stroke engine.
CAM = dialarc.Cam(lobes=4, lift_mm=2.2, rise_deg=38, top_dwell_deg=2, base_dwell_deg=10,
                  law="poly345")
LIFT_MM = 0.90         # at TDC
SETUP = dialarc.Setup(
    lobes=4, crank_per_pump=2, lift_low_mm=0.88, lift_high_mm=0.92, cam_law="poly345",
    cam_lift_mm=2.2, rise_deg=38, top_dwell_deg=2, base_dwell_deg=10, angle_sd_deg=0.25,
    tdc_sd_deg=0.08, dial_sd_mm=0.002, dial_step_mm=0.005, dial_hysteresis_mm=0.004,
    dial_error_mm=0.003)
FOOT_CRANK_DEG = -2.0 * CAM.angle_at_lift(LIFT_MM)


def figure(rows=1, size=(6.6, 3.8)):
    """A figure and its axes, in the style of dialarc.plot."""
    return dialarc.plot._styled(dialarc.plot._figure)(rows, size)


def save(fig, name):
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(".")
    folder.mkdir(parents=True, exist_ok=True)
    print("  picture:", dialarc.plot.save(fig, folder / name)[0].name)


def readings(crank_deg, *, slack_deg=0.0, hysteresis_mm=0.0, noise_mm=0.0, step_mm=0.0,
             seed=1):
    """What the dial shows on the way through these crank angles."""
    crank = np.ascontiguousarray(crank_deg, dtype=float)
    shaft = dialarc.play_driven_array(slack_deg, float(crank[0]), crank)
    lift = CAM.lift_mm(np.ascontiguousarray((shaft - FOOT_CRANK_DEG) / 2.0))
    shown = dialarc.play_reading_array(hysteresis_mm, float(lift[0]), lift)
    shown = shown + noise_mm * np.random.default_rng(seed).standard_normal(len(shown))
    return np.round(shown / step_mm) * step_mm if step_mm else shown
