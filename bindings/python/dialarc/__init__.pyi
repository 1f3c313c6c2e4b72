# SPDX-License-Identifier: GPL-3.0-or-later
from . import plot as plot
from ._c import *
from ._guide import choose_readings as choose_readings, expect as expect
from ._guide import LiveSweep as LiveSweep, next_reading as next_reading
from ._shop import Crosschecked as Crosschecked, crosscheck as crosscheck
from ._shop import check_dial as check_dial
from ._shop import gauge_study as gauge_study, read_lifts as read_lifts
from ._shop import reading_errors as reading_errors
from ._records import CamRecord as CamRecord, Injection as Injection
from ._records import Job as Job, Sweep as Sweep
from ._work import (
    Assessment as Assessment, Consequence as Consequence,
    NextStep as NextStep, assess as assess,
    assess_all as assess_all, assess_each as assess_each, assess_sweep as assess_sweep,
    iter_sweeps as iter_sweeps, next_steps as next_steps,
    plan_round as plan_round, read_cams as read_cams, read_dials as read_dials,
    read_rounds as read_rounds, read_rows as read_rows,
    read_setups as read_setups, read_sweeps as read_sweeps, what_if as what_if)

__version__: str
__all__: list[str]
