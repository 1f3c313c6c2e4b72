# SPDX-License-Identifier: GPL-3.0-or-later
"""Everything public of the C library, as Python objects.

Structs become classes with keyword constructors, enumerations become IntEnum, status
codes become exceptions, functions take numbers or arrays. What there is comes from the
headers by way of _headers.py; types for checkers stand in _c.pyi.
"""
import array as _array
import math as _math

from ._classes import *  # noqa: F403
from ._enums import *  # noqa: F403
from ._enums import hooks as _hooks
from ._errors import *  # noqa: F403
from ._errors import make_error as _make_error
from ._functions import *  # noqa: F403
from ._handles import *  # noqa: F403
from ._headers import CONSTANTS as _CONSTANTS
from ._records import CamRecord, Injection, Job, Sweep
from ._structs import Record, restore as _restore

try:
    import numpy as _numpy
except ImportError:
    _numpy = None

globals().update(_CONSTANTS)

# ---- what the wrapper calls ----------------------------------------------------------


def _make_array(like, shape):
    """A new array of float64, like another one where that is known."""
    if _numpy is not None and not isinstance(like, _array.array):
        return _numpy.empty(shape)
    return _array.array("d", bytes(8 * _math.prod(shape)))


def _make_sweep(name, setup_index, setup, crank_deg, dial_mm, direction, line, row):
    sweep = Sweep(crank_deg, dial_mm, direction, name=name, setup=setup, line=line,
                  row=row)
    sweep.setup_index = setup_index
    return sweep


def _make_job(name, setup_index, setup, rounds, line):
    job = Job([_restore(Round, values) for values in rounds], name=name, setup=setup,
              line=line)
    job.setup_index = setup_index
    return job


_hooks.update({
    "make_error": _make_error, "make_array": _make_array, "make_sweep": _make_sweep,
    "make_job": _make_job, "CamRecord": CamRecord, "Sweep": Sweep,
    "Injection": Injection,
    "make_word": lambda kind, word: globals()[kind][word.upper()],
    "list_words": lambda kind: ", ".join(map(str, globals()[kind]))})

__all__ = [name for name in globals() if not name.startswith("_")]
