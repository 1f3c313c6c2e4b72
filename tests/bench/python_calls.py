# SPDX-License-Identifier: GPL-3.0-or-later
"""What calls from Python cost over the same calls in C.

    python3 python_calls.py BUILD

BUILD is the build folder with its Python module. Rows as of bench.py: what, Python, C,
C / Python, what is wanted. Processor time; medians of rounds in which Python and C take
turns. C is called by ctypes with addresses alone: for one value the time of a call is
that of a million values divided by a million, and less the loop of Python around it.
"""
import array
import ctypes
import os
import statistics
import sys
import time
from pathlib import Path

BUILD = Path(sys.argv[1])
sys.path.insert(0, str(BUILD / "bindings/python/uninstalled"))
LIBRARY = ctypes.CDLL(str(BUILD / ".libs/libdialarc.so"))

import dialarc  # noqa: E402

ROUNDS = int(os.environ.get("BENCH_ROUNDS", "15"))
MANY = 1_000_000
CALLS = 200_000


class Cam(ctypes.Structure):
    _fields_ = [("lobes", ctypes.c_int)] + \
        [(name, ctypes.c_double) for name in
         ("lift_mm", "rise_deg", "top_dwell_deg", "base_dwell_deg")] + \
        [("law", ctypes.c_int), ("fall_law", ctypes.c_int), ("blend", ctypes.c_double)]


def processor(work):
    start = time.process_time_ns()
    work()
    return time.process_time_ns() - start


def take_turns(*works):
    """Median times of works, ns."""
    for work in works:
        work()
    times = [[processor(work) for work in works] for _ in range(ROUNDS)]
    return [statistics.median(column) for column in zip(*times)]


def row(what, own, peer, ratio, wanted):
    print(f"{what:<44}{own:>21}{peer:>21}{ratio:>10}{wanted:>10}", flush=True)


def main():
    words = {"lobes": 4, "lift_mm": 2.2, "rise_deg": 38.0, "top_dwell_deg": 2.0,
             "base_dwell_deg": 10.0}
    cam = dialarc.Cam(**words, law="poly345")
    c_cam = Cam(*words.values(), int(cam.law), 0, 0.0)
    x = array.array("d", (i * 1e-4 % 90.0 for i in range(MANY)))
    y = array.array("d", bytes(8 * MANY))  # of both: where memory lies matters too
    in_c = LIBRARY.dialarc_cam_lift_array
    in_c.argtypes = [ctypes.c_void_p, ctypes.c_size_t, ctypes.c_void_p, ctypes.c_void_p]
    address = ctypes.addressof(c_cam), MANY, x.buffer_info()[0], y.buffer_info()[0]
    lift, method, repeat = dialarc.cam_lift, cam.lift_mm, range(CALLS)

    def scalars():
        for _ in repeat:
            lift(cam, 17.0)

    def methods():
        for _ in repeat:
            method(17.0)

    def nothing():
        for _ in repeat:
            pass

    own, by_method, loop = take_turns(scalars, methods, nothing)
    many, c_many = take_turns(lambda: lift(cam, x, out=y), lambda: in_c(*address))
    c_one = c_many / MANY
    for name, whole in (("dialarc.cam_lift(cam, x)", own), ("cam.lift_mm(x)", by_method)):
        one = (whole - loop) / CALLS
        row(f"{name}, one value", f"{one:.0f} ns", f"{c_one:.1f} ns",
            f"+{one - c_one:.0f} ns", "<= +150 ns")
    row("dialarc.cam_lift(cam, x, out=y), 1e6 values", f"{many / 1e6:.2f} ms",
        f"{c_many / 1e6:.2f} ms", f"{c_many / many:.3f}", ">= 0.95")
    in_c(*address)
    if y != lift(cam, x, out=array.array("d", bytes(8 * MANY))):
        sys.exit("Python and C do not give the same")


main()
