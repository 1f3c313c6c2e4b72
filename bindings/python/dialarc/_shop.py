# SPDX-License-Identifier: GPL-3.0-or-later
"""How well a shop measures: gauge studies, errors of reading, dials and witnesses."""
from __future__ import annotations

import typing
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


class Crosschecked(typing.NamedTuple):
    """What witnesses of one setting say together.

    agree: whether they do, by chi-square at 5 %. together: Crosscheck. farthest: name of
    the one farthest from the others; None where there is but one. off_crank_deg,
    off_sd_deg: how far each is off the others, and the standard uncertainty of that.
    """

    agree: bool
    together: Any
    farthest: str | None
    off_crank_deg: dict[str, float]
    off_sd_deg: dict[str, float]


def crosscheck(witnesses: dict[str, Any]) -> Crosschecked:
    """Whether several witnesses of one setting agree, and which one does not.

    Arguments:
        witnesses: Witness records by name. crosscheck_from_lift() makes an advance of a
            lift at an angle, crosscheck_at_rest() of timings at several speeds.

    Result: Crosschecked. Witnesses share the error of a mark, a wheel or a cam where they
        have the same number for it.

    In C: dialarc_crosscheck_assess(), dialarc_crosscheck_apart()

    >>> import dialarc
    >>> found = dialarc.crosscheck({
    ...     "dial": dialarc.Witness(0.1, 0.1, mark_sd_crank_deg=0.1),
    ...     "spill": dialarc.Witness(0.3, 0.4, mark_sd_crank_deg=0.1),
    ...     "strobe": dialarc.Witness(-2.0, 0.5, mark_sd_crank_deg=0.3, mark=1)})
    >>> found.agree, found.farthest
    (False, 'strobe')
    """
    names, listed = list(witnesses), list(witnesses.values())
    together = _c.crosscheck_assess(listed)
    apart = [_c.crosscheck_apart(listed, k) for k in range(len(names)) if len(names) > 1]
    return Crosschecked(bool(together.agree), together,
                        names[together.farthest] if apart else None,
                        {name: off for name, (off, _) in zip(names, apart)},
                        {name: sd for name, (_, sd) in zip(names, apart)})


def check_dial(block_mm: Any, shown_mm: Any, way: Iterable[str] | None = None, *,
               read_to_mm: float = 0.01, turn_mm: float = 1.0,
               block_u_mm: float = 0.0005) -> Any:
    """What readings of a dial at known travels say of it.

    Arguments:
        block_mm: travels that were set, mm.
        shown_mm: readings of the dial, mm.
        way: "in" or "out", as the stem went at each; None: all going in.
        read_to_mm: to how much it was read.
        turn_mm: travel of one turn of the needle.
        block_u_mm: standard uncertainty of a travel; workshop blocks if not given.

    Result: Dialcheck: `.whole_range_mm` and other spans of errors, `.hysteresis_mm`,
        `.repeatability_mm`, `.error_u_mm`; dialcheck_proof() holds them against a limit,
        dialcheck_calibration() corrects readings by them.

    In C: dialarc_dialcheck_assess()

    >>> import dialarc
    >>> dialarc.check_dial([0, 1, 2], [0, 1.004, 2.002]).whole_range_mm
    0.004
    """
    ways = {"in": 1.0, "": 0.0, "out": -1.0}
    block_mm = as_numbers(block_mm, "block_mm")
    try:
        sign = [0.0] * len(block_mm) if way is None else [ways[one] for one in way]
    except KeyError as bad:
        raise ValueError(f"check_dial(): way: in or out is needed, not {bad}") from None
    return _c.dialcheck_assess(block_mm, shown_mm, sign, read_to_mm, turn_mm, block_u_mm)
