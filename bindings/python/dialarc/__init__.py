# SPDX-License-Identifier: GPL-3.0-or-later
"""Static timing of distributor injection pumps.

    import dialarc

    setup = dialarc.Setup(lobes=4, lift_low_mm=0.86, lift_high_mm=0.90, tdc_sd_deg=0.08)
    result = dialarc.assess(setup, crank_deg, dial_mm)
    print(result)                 # lift, uncertainty, verdict, findings
    dialarc.plot.sweep(result)    # needs Matplotlib

Daily work: assess(), read_setups(), read_sweeps(), assess_all(), plan_round(), what_if(),
expect(), choose_readings(), next_reading(), LiveSweep, gauge_study(), reading_errors(),
crosscheck(), check_dial(), Cam. Every function of the C library is here too, under its
name without `dialarc_`: they take numbers or arrays (lists, array.array, NumPy, anything
with the buffer protocol), raise DialarcError with a status and a sentence, and let other
threads run while they work on arrays. Units stand in every name. Crank and pump angles
are positive in running direction; crank 0 is firing TDC of the timed cylinder.
"""
from . import _c as _c
from . import _work as _work
from ._c import *  # noqa: F401,F403
from ._guide import LiveSweep, choose_readings, expect, next_reading
from ._records import CamRecord, Injection, Job, Sweep
from ._shop import (Crosschecked, check_dial, crosscheck, gauge_study, read_lifts,
                    reading_errors)
from ._work import (Assessment, Consequence, NextStep, assess, assess_all, assess_each,
                    assess_sweep, iter_sweeps, next_steps, plan_round, read_cams,
                    read_dials, read_rounds, read_rows, read_setups, read_sweeps,
                    what_if)

__version__ = _c.version()

_WORK = ["Assessment", "CamRecord", "Consequence", "Crosschecked", "Injection", "Job",
         "LiveSweep", "NextStep", "Sweep", "assess", "assess_all", "assess_each",
         "assess_sweep", "check_dial", "choose_readings", "crosscheck", "expect",
         "gauge_study", "iter_sweeps", "next_reading", "next_steps", "plan_round",
         "read_cams", "read_dials", "read_lifts", "read_rounds", "read_rows",
         "read_setups", "read_sweeps", "reading_errors", "what_if"]
for _name in _WORK:
    globals()[_name].__module__ = "dialarc"
__all__ = _WORK + [_name for _name in _c.__all__ if _name not in _WORK]


def __getattr__(name):
    if name == "plot":
        import importlib
        return importlib.import_module("dialarc.plot")
    raise AttributeError(f"module 'dialarc' has no attribute {name!r}")
