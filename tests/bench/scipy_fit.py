# SPDX-License-Identifier: GPL-3.0-or-later
"""The peer of one assessed sweep: the same model fitted with SciPy, as one would write it.

reading = zero + lift(foot, total lift; drive slack) - hysteresis where the lift rises,
angle errors as effective variance, scipy.optimize.least_squares with the soft_l1 loss from
a start found on a coarse grid, uncertainty from its Jacobian. When the cam is not known,
its segment angles are fitted too, for each law, and the laws are averaged by their
likelihood. Everything is done on whole arrays. The sweep goes forward and back.
"""
import math

import numpy as np
from scipy.optimize import least_squares

from lift_array import LAWS

BY_NAME = {law.__name__: law for law in LAWS}
SOFT = 1.5  # standard deviations from which a reading counts less
HYSTERESIS_MM = 0.005


class Sweep:
    """Readings, split where the crank turns back, and what the setup says."""

    def __init__(self, setup, crank_deg, dial_mm):
        self.setup = setup
        self.crank = crank_deg
        self.dial = dial_mm
        turn = int(np.argmax(crank_deg))
        self.back = np.arange(len(crank_deg)) > turn
        self.top = crank_deg[turn]
        self.pitch = 360.0 / setup["lobes"]

    def lift(self, law, x, driven):
        """Lift at angles of the pump's side of the drive; x: zero, foot, total lift, slack,
        hysteresis, and rise, top dwell and base dwell."""
        rise, top, base = x[5:8]
        fall = self.pitch - rise - top - base
        r = np.mod((driven - x[1]) / self.setup["crank_per_pump"], self.pitch)
        return x[2] * law(np.clip(np.minimum(r / rise, (self.pitch - base - r) / fall),
                                  0, 1))

    def driven(self, x):
        return np.where(self.back, np.minimum(self.top, self.crank + x[3]), self.crank)

    def model(self, law, x):
        lift = self.lift(law, x, self.driven(x))
        return x[0] + lift - x[4] * (np.gradient(lift) > 0)

    def sd(self, law, x):
        driven = self.driven(x)
        slope = 2 * (self.lift(law, x, driven + 0.25) - self.lift(law, x, driven - 0.25))
        s = self.setup
        return np.sqrt(s["dial_sd_mm"] ** 2 + s["dial_step_mm"] ** 2 / 12
                       + (slope * s["angle_sd_deg"]) ** 2)


def start(sweep, law, cam):
    """The foot that fits best on a coarse grid; the rest from the readings."""
    zero = sweep.dial.min()
    low, high = -0.75 * sweep.pitch * sweep.setup["crank_per_pump"], -2.0
    best = None
    for foot in np.linspace(low, high, 24):
        x = np.array([zero, foot, np.ptp(sweep.dial), 2.0, 0.002, *cam])
        cost = np.abs(sweep.dial - sweep.model(law, x)).sum()
        if best is None or cost < best[0]:
            best = cost, x
    return best[1]


def fit_law(sweep, law, cam, free):
    """Lift at TDC, its variance and the cost, the first `free` parameters fitted."""
    x = start(sweep, law, cam)
    pitch = sweep.pitch
    low = np.array([-np.inf, -np.inf, 0.1, 0.0, 0.0, 0.2 * pitch, 0.0, 0.0])[:free]
    high = np.array([np.inf, np.inf, 9.0, 30.0, HYSTERESIS_MM, 0.7 * pitch, 0.2 * pitch,
                     0.3 * pitch])[:free]
    scale = np.array([0.01, 1.0, 0.1, 1.0, 0.002, 1.0, 1.0, 1.0])[:free]
    for _ in range(2):  # the weights follow the slope
        sd = sweep.sd(law, x)

        def residual(p):
            return (sweep.dial - sweep.model(law, np.concatenate([p, x[free:]]))) / sd

        result = least_squares(residual, np.clip(x[:free], low, high), loss="soft_l1",
                               f_scale=SOFT, x_scale=scale, bounds=(low, high))
        x = np.concatenate([result.x, x[free:]])
    at_tdc = np.zeros(1)
    lift = sweep.lift(law, x, at_tdc)[0]
    slope = np.empty(free)
    for i in range(free):
        step = np.zeros(8)
        step[i] = 1e-4
        slope[i] = (sweep.lift(law, x + step, at_tdc)[0]
                    - sweep.lift(law, x - step, at_tdc)[0]) / 2e-4
    covariance = np.linalg.pinv(result.jac.T @ result.jac)
    return lift, slope @ covariance @ slope, result.cost


def fit(setup, crank_deg, dial_mm):
    """(lift at TDC, its standard uncertainty without that of the TDC mark), mm."""
    sweep = Sweep(setup, crank_deg, dial_mm)
    if setup["cam_law"]:
        cam = setup["rise_deg"], setup["top_dwell_deg"], setup["base_dwell_deg"]
        lift, variance, _ = fit_law(sweep, BY_NAME[setup["cam_law"]], cam, 5)
        return lift, math.sqrt(variance)
    cam = 0.45 * sweep.pitch, 0.03 * sweep.pitch, 0.12 * sweep.pitch
    fits = np.array([fit_law(sweep, law, cam, 8) for law in LAWS])
    weight = np.exp(fits[:, 2].min() - fits[:, 2])
    weight /= weight.sum()
    lift = weight @ fits[:, 0]
    return lift, math.sqrt(weight @ (fits[:, 1] + (fits[:, 0] - lift) ** 2))
