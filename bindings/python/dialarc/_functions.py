# SPDX-License-Identifier: GPL-3.0-or-later
"""Functions, which take numbers or arrays."""
import collections

from . import _core
from ._headers import FUNCTIONS

# Results of functions that have several: tuples whose members have names.
_RESULTS = {about["results"][0]: collections.namedtuple(*about["results"],
                                                        module="dialarc")
            for about in FUNCTIONS.values() if about["results"]}
globals().update(_RESULTS)
__all__ = [*FUNCTIONS, *_RESULTS, "batch_assess",
           "read_file", "read_memory", "stream_assess"]


def _make_function(name):
    about = FUNCTIONS[name]
    form = getattr(_core, name)
    scalar, array = (form, getattr(_core, about["array"])) if about["pair"] else \
        (None, form) if about["outs"] else (form, None)
    vary = sum(1 << place for place, _ in about["vary"])
    return _core._function(name, scalar, array, about["names"], about["required"], vary,
                           about["outs"], about["signature"], about["doc"],
                           _RESULTS[about["results"][0]] if about["results"] else None)


globals().update({_name: _make_function(_name) for _name in FUNCTIONS})
read_file = _core._function(
    "read_file", _core.read_file, None, ("path", "size"), 2, 0, 0, "(path, size)",
    "The first bytes of a file, as the library reads them.\n\nIn C: dialarc_read_file()",
    None)
read_memory = _core._function(
    "read_memory", _core.read_memory, None, ("data", "used", "size"), 3, 0, 0,
    "(data, used, size)",
    "At most size bytes of data, those before used left out, as the "
    "library reads a table in memory.\n\nIn C: dialarc_read_memory()", None)


def batch_assess(setups, sweeps, threads=0, progress=None):
    """Assesses many sweeps at once; one that cannot be assessed stops none of the others.

    Arguments:
        setups: a Setup for each of the sweeps.
        sweeps: Sweep records.
        threads: how many work at once; 0: as many as there are processors. The result
            does not depend on it.
        progress: called as progress(done, total) in this thread; False stops the work.

    Result: list of (Status, Timing, Decision), one a sweep.

    Raises Cancelled when progress asked to stop.

    In C: dialarc_batch_assess()
    """
    return _core.batch_assess(setups, sweeps, threads, progress)


def stream_assess(read, setups, threads=0):
    """The results table of a sweeps table, read a few sweeps at a time.

    Arguments:
        read: bytes, or a file open in binary mode.
        setups: Setups of the sweeps.
        threads: how many work at once; 0: as many as there are processors. The result
            does not depend on it.

    Result: the results table as text, with its header row.

    Raises TableError when the sweeps table cannot be used.

    In C: dialarc_stream_assess()
    """
    return _core.stream_assess(read, setups, threads)


for _function in (batch_assess, stream_assess):
    _function.__module__ = "dialarc"
