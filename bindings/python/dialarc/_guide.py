# SPDX-License-Identifier: GPL-3.0-or-later
"""Before and during the sweep: which readings to take, and what they will tell."""
from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

from . import _c
from ._records import Sweep
from ._work import _workspace

_USUAL_LIFT_MM = 0.9  # where there is no window; common practice, no source


def _need(function: str, setup: Any) -> None:
    if not isinstance(setup, _c.Setup):
        raise TypeError(f"{function}(): setup: a Setup is needed, not {setup!r}")


def _lift(setup: Any, lift_mm: float | None) -> float:
    if lift_mm is not None:
        return lift_mm
    middle = 0.5 * (setup.lift_low_mm + setup.lift_high_mm)
    return _USUAL_LIFT_MM if math.isnan(middle) else float(middle)


def _reach(setup: Any, angles: Any, both_ways: bool | None) -> Any:
    if isinstance(angles, _c.Reach):
        return angles
    try:
        first, last, step = angles
    except (TypeError, ValueError):
        raise TypeError("reach: (first, last, step) in crank degrees, or a Reach, is "
                        f"needed, not {angles!r}") from None
    if both_ways is None:
        both_ways = setup.turn_back == _c.TurnBack.ALLOWED
    return _c.Reach(first, last, step, int(both_ways))


def expect(setup: Any, crank_deg: Any, *, lift_mm: float | None = None) -> Any:
    """What readings at these crank angles will tell, before a dial is read.

    Arguments:
        setup: Setup with what is known.
        crank_deg: crank angles in the order in which they are come to, degrees.
        lift_mm: lift at TDC that is thought of; None: mid-window, or 0.9.

    Result: Expectation: `.lift_u_mm` (95 %), `.budget` by cause, `.chance_in`,
        `.chance_verdict`, `.narrowest_window_mm`, `.tdc_sd_needed_deg`, `.weakest`;
        `.usable` and `.findings` where the readings will not do.

    In C: dialarc_design_expect()

    >>> import dialarc
    >>> setup = dialarc.Setup(lobes=4, lift_low_mm=0.86, lift_high_mm=0.90,
    ...                       cam_law="harmonic", cam_lift_mm=2.2, rise_deg=40,
    ...                       top_dwell_deg=0, base_dwell_deg=5, tdc_sd_deg=0.08)
    >>> few = dialarc.expect(setup, [-80, -60, -50, -20, 0, 5, 10, 15])
    >>> many = dialarc.expect(setup, range(-80, 20, 5))
    >>> many.lift_u_mm < few.lift_u_mm
    True
    """
    _need("expect", setup)
    crank_deg = list(crank_deg) if isinstance(crank_deg, range) else crank_deg
    return _c.design_expect(_workspace(), setup, _lift(setup, lift_mm), crank_deg)


def choose_readings(setup: Any, n: int, reach: Any = (-90.0, 20.0, 1.0), *,
                    both_ways: bool | None = None, lift_mm: float | None = None) -> Any:
    """The n crank angles from which the lift at TDC is known best.

    Arguments:
        setup: Setup with what is known.
        n: how many readings, at least 6.
        reach: (first, last, step): crank angles that can be read, degrees; or a Reach.
        both_ways: whether readings are taken on the way back, too; None: where the setup
            says that the engine may be turned back.
        lift_mm: lift at TDC that is thought of; None: mid-window, or 0.9.

    Result: array of angles in the order in which they are come to: forward, then back.

    In C: dialarc_design_choose()
    """
    _need("choose_readings", setup)
    return _c.design_choose(_workspace(), setup, _lift(setup, lift_mm),
                            _reach(setup, reach, both_ways), n)


def next_reading(setup: Any, crank_deg: Any, dial_mm: Any,
                 direction: str | Iterable[str] | None = None,
                 reach: Any = (-90.0, 20.0, 1.0), *,
                 both_ways: bool | None = None) -> Any:
    """The reading to take after those so far, or that it is enough.

    Arguments:
        setup: Setup with what is known.
        crank_deg, dial_mm, direction: the readings so far, as for assess(); a single
            "with" or "against" counts for all.
        reach, both_ways: as for choose_readings().

    Result: Next: `.prospect` is "more", "enough" or "never"; with "more" `.crank_deg` and
        `.direction` say where to read, `.lift_u_next_mm` what that will bring; else
        `.advice` says why.

    In C: dialarc_design_next()

    >>> import dialarc
    >>> setup = dialarc.Setup(lobes=4, lift_low_mm=0.86, lift_high_mm=0.90)
    >>> dialarc.next_reading(setup, [], []).prospect
    <Prospect.MORE: 0>
    """
    _need("next_reading", setup)
    if isinstance(direction, str):
        direction = [direction] * len(crank_deg)
    sweep = Sweep(crank_deg, dial_mm, direction)
    return _c.design_next(_workspace(), setup, sweep, _reach(setup, reach, both_ways))
