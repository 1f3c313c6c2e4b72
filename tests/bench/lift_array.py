# SPDX-License-Identifier: GPL-3.0-or-later
"""Lift at an array of pump angles: dialarc beside a vectorised NumPy expression.

    python3 lift_array.py LIBRARY [ANGLES]

Both are timed in turn in one run, in processor time, the median of several; results are
compared too. The NumPy expressions are written as one would for speed: whole arrays, no
loop, flanks told apart by minimum and clip.
"""
import ctypes
import math
import statistics
import sys
import time

import numpy as np

ROUNDS = 15
LIFT, RISE, TOP, BASE, LOBES, BLEND = 2.2, 35.0, 5.0, 10.0, 4, 0.25
PITCH = 360.0 / LOBES
FALL = PITCH - RISE - TOP - BASE


class Cam(ctypes.Structure):
    _fields_ = [("lobes", ctypes.c_int), ("lift_mm", ctypes.c_double),
                ("rise_deg", ctypes.c_double), ("top_dwell_deg", ctypes.c_double),
                ("base_dwell_deg", ctypes.c_double), ("law", ctypes.c_int),
                ("fall_law", ctypes.c_int), ("blend", ctypes.c_double)]


def harmonic(u):
    return 0.5 - 0.5 * np.cos(math.pi * u)


def cycloidal(u):
    return u - np.sin(2 * math.pi * u) / (2 * math.pi)


def poly345(u):
    return u * u * u * (10 + u * (-15 + 6 * u))


def poly4567(u):
    return u * u * u * u * (35 + u * (-84 + u * (70 - 20 * u)))


def modified_sine(u):
    h = np.minimum(u, 1 - u)
    low = math.pi * h - 0.25 * np.sin(4 * math.pi * h)
    high = 2 + math.pi * h - 2.25 * np.sin((math.pi + 4 * math.pi * h) / 3)
    s = np.where(h < 0.125, low, high) / (4 + math.pi)
    return np.where(u < 0.5, s, 1 - s)


def modified_trapezoid(u):
    h = np.minimum(u, 1 - u)
    w = h - 0.125
    low = 2 * h - np.sin(4 * math.pi * h) / (2 * math.pi)
    middle = 0.25 - 0.5 / math.pi + 2 * w + 4 * math.pi * w * w
    high = (-0.5 * math.pi + 2 * (1 + math.pi) * h
            - np.sin(4 * math.pi * (h - 0.25)) / (2 * math.pi))
    s = np.where(h < 0.125, low, np.where(h < 0.375, middle, high)) / (2 + math.pi)
    return np.where(u < 0.5, s, 1 - s)


def constant_rate(u):
    h = np.minimum(u, 1 - u)
    s = np.where(h < BLEND, 0.5 * h * h / BLEND, h - 0.5 * BLEND) / (1 - BLEND)
    return np.where(u < 0.5, s, 1 - s)


LAWS = (harmonic, cycloidal, poly345, poly4567, modified_sine, modified_trapezoid,
        constant_rate)


def numpy_lift(law, pump_deg):
    r = np.mod(pump_deg, PITCH)
    u = np.clip(np.minimum(r / RISE, (PITCH - BASE - r) / FALL), 0, 1)
    return LIFT * law(u)


def timed(run):
    begin = time.process_time()
    run()
    return time.process_time() - begin


def measure(path, n, rounds=ROUNDS):
    """[(law, seconds of NumPy, seconds of dialarc, largest difference)], medians."""
    library = ctypes.CDLL(path)
    pump_deg = np.random.default_rng(1).uniform(-720.0, 720.0, n)
    lift = np.empty(n)
    lift_array = library.dialarc_cam_lift_array
    lift_array.argtypes = [ctypes.POINTER(Cam), ctypes.c_size_t, ctypes.c_void_p,
                           ctypes.c_void_p]
    rows = []
    for number, law in enumerate(LAWS, 1):
        cam = Cam(LOBES, LIFT, RISE, TOP, BASE, number, 0, BLEND)

        def ours():
            assert lift_array(cam, n, pump_deg.ctypes.data, lift.ctypes.data) == 0

        peer, own = [], []
        for _ in range(rounds):
            peer.append(timed(lambda: numpy_lift(law, pump_deg)))
            own.append(timed(ours))
        worst = np.abs(numpy_lift(law, pump_deg) - lift).max()
        rows.append((law.__name__, statistics.median(peer), statistics.median(own), worst))
    return rows


def main():
    n = int(sys.argv[2]) if len(sys.argv) > 2 else 1_000_000
    print(f"lift at {n} angles, median of {ROUNDS}, ns an angle")
    print(f"{'law':20} {'NumPy':>8} {'dialarc':>8} {'ratio':>6} {'difference':>11}")
    for law, peer, own, worst in measure(sys.argv[1], n):
        print(f"{law:20} {peer / n * 1e9:8.2f} {own / n * 1e9:8.2f}"
              f" {peer / own:6.1f} {worst:11.1e}")


if __name__ == "__main__":
    main()
