# SPDX-License-Identifier: GPL-3.0-or-later
"""Before and during the sweep: which readings to take, and what they tell so far."""
from __future__ import annotations

import math
import time
from collections.abc import Iterable, Iterator
from typing import Any

from . import _c
from ._records import Sweep
from ._work import _workspace, assess_sweep

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


class LiveSweep:
    """A sweep while it is taken, line by line as a keyboard or an indicator brings them.

    LiveSweep(setup, reach=(-90, 20, 1), both_ways=None): as for choose_readings().

    hear() takes text in any pieces; next() tells where to read next, `assessment` what
    the readings so far say, to the bit what the sweep says afterwards. Iterating gives
    the readings as Taken records, `lines` the lines with which they came.

    >>> import dialarc
    >>> setup = dialarc.Setup(lobes=4, lift_low_mm=0.86, lift_high_mm=0.90)
    >>> live = dialarc.LiveSweep(setup)
    >>> [str(heard) for heard in live.hear("-40 0.05\\n-30 0,")]
    ['reading']
    >>> [str(heard) for heard in live.hear("2\\nback\\n")]
    ['reading', 'struck']
    >>> len(live)
    1
    """

    def __init__(self, setup: Any, reach: Any = (-90.0, 20.0, 1.0), *,
                 both_ways: bool | None = None) -> None:
        _need("LiveSweep", setup)
        self.setup = setup
        self._live = _c.live_new(setup, _reach(setup, reach, both_ways))

    def hear(self, text: str | bytes, time_s: float | None = None) -> list[Any]:
        """Takes what has come; what each whole line was, a Heard, in their order.

        text: str, or bytes of a serial line. time_s: when it came, by a clock that does
        not run backwards; None: now.
        """
        if isinstance(text, (bytes, bytearray)):
            text = bytes(text).decode("utf-8", "replace")
        text = text.replace("\0", "")
        if time_s is None:
            time_s = time.monotonic()
        heard = []
        for piece in [text[k:k + 1000] for k in range(0, len(text), 1000)] + [""]:
            what = _c.live_hear(self._live, piece, time_s)
            while what != _c.Heard.WAITING:
                heard.append(what)
                what = _c.live_hear(self._live, "", time_s)
        return heard

    def add(self, crank_deg: float, dial_mm: float, direction: Any = "with",
            time_s: float = 0.0) -> None:
        """Adds a reading that was taken before."""
        _c.live_add(self._live, _c.Taken(crank_deg, dial_mm, direction, time_s))

    def next(self) -> Any:
        """The reading to take next, as of next_reading(); asked for from then on."""
        return _c.live_next(self._live)

    @property
    def lines(self) -> list[str]:
        """The lines with which the readings came; "" of one that was added."""
        return [str(_c.live_line(self._live, k)) for k in range(len(self))]

    @property
    def sweep(self) -> Sweep:
        """The readings so far as a Sweep."""
        taken = list(self)
        return Sweep([one.crank_deg for one in taken], [one.dial_mm for one in taken],
                     [str(one.direction) for one in taken])

    @property
    def assessment(self) -> Any:
        """What the readings so far say: Assessment."""
        return assess_sweep(self.setup, self.sweep)

    def __len__(self) -> int:
        return int(_c.live_count(self._live))

    def __iter__(self) -> Iterator[Any]:
        return (_c.live_reading(self._live, k) for k in range(len(self)))
