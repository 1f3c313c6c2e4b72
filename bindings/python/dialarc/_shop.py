# SPDX-License-Identifier: GPL-3.0-or-later
"""How well a shop measures: gauge studies, and errors of reading."""
from __future__ import annotations

from collections.abc import Hashable, Iterable
from typing import Any

from . import _c
from ._records import Sweep, as_numbers
from ._work import Source, _open, _setup_of, _workspace


def _numbered(names: Iterable[Hashable]) -> list[int]:
    """0 for the first name met, 1 for the next one, ..."""
    known: dict[Hashable, int] = {}
    return [known.setdefault(name, len(known)) for name in names]


def gauge_study(lift_mm: Any, engine: Iterable[Hashable],
                hand: Iterable[Hashable]) -> Any:
    """Components of variance of repeated lifts: engines, hands, repetition.

    Arguments:
        lift_mm: lifts at TDC that were measured, mm.
        engine: the engine of each, by any name or number.
        hand: who measured it, likewise.

    Result: GaugeStudy: `.engine`, `.hand`, `.engine_hand`, `.repetition`,
        `.repeatability` and `.reproducibility` are Components with `.sd_mm` and its
        interval of 95 %; gauge_judge() tells whether they can judge a window.

    In C: dialarc_gauge_assess()

    >>> import dialarc
    >>> study = dialarc.gauge_study([0.90, 0.91, 0.89, 0.90, 0.95, 0.94, 0.93, 0.95],
    ...                             ["wren"] * 4 + ["stork"] * 4,
    ...                             ["left", "left", "right", "right"] * 2)
    >>> study.hands, study.reproducibility.sd_mm < 0.05
    (2, True)
    """
    rows = list(zip(as_numbers(lift_mm, "lift_mm"), _numbered(engine), _numbered(hand),
                    strict=True))
    return _c.gauge_assess([_c.GaugeLift(*row) for row in rows])


def read_lifts(source: Source) -> tuple[list[float], list[str], list[str]]:
    """Reads a lifts table: what gauge_study() takes.

    source: name of a file, or an open binary file. A blank lift is NaN.
    """
    lifts = _open(source, _c.lifts_load, _c.lifts_read)
    rows = range(len(lifts))
    return ([_c.lifts_get(lifts, k).lift_mm for k in rows],
            [_c.lifts_setup(lifts, k) for k in rows],
            [_c.lifts_hand(lifts, k) for k in rows])


def reading_errors(sweeps: Iterable[Sweep], setups: Any = None) -> Any:
    """How well dial and angle are read, by the sweeps that a shop has recorded.

    Arguments:
        sweeps: Sweeps, as read_sweeps() gives them; the more, the better.
        setups: as for assess_all().

    Result: ReadingErrors: `.dial_sd_mm` and `.angle_sd_deg` as the columns of the setups
        table have them, each with its interval of 95 %.

    In C: dialarc_archive_errors()
    """
    archive = _c.Archive()
    for sweep in sweeps:
        archive.add(_workspace(), _setup_of(sweep, setups), sweep)
    return archive.errors()
