# SPDX-License-Identifier: GPL-3.0-or-later
"""Status codes as exceptions."""
import math
import typing

from . import _core
from ._enums import Status
from ._records import Injection, Sweep

__all__ = ["Cancelled", "DialarcError", "Fault", "FileError", "InputError",
           "OutOfMemory", "TableError"]


class DialarcError(Exception):
    """A call that the library refused.

    status: the Status; sentence: its sentence; function and argument: where, as far as
    known ("" if not).
    """

    def __init__(self, message="", status=Status.ERR_NULL, function="", argument=""):
        super().__init__(message)
        self.status = status
        self.sentence = _core.status_text(status)
        self.function = function
        self.argument = argument

    def __reduce__(self):
        return (_restore_error, (type(self), self.args, self.__dict__))


class InputError(DialarcError, ValueError):
    """An argument out of its range, or a problem without a solution."""


class Fault(typing.NamedTuple):
    """One fault of a table: what is wrong in words, and where (0: nowhere)."""

    text: str
    line: int
    row: int
    column: int
    column_name: str


class TableError(InputError):
    """A table that cannot be used: line, row and column say where (0: nowhere).

    They are those of the first fault; `faults` are all that were found, up to 20, and
    `more` says how many there were beyond them.
    """

    line = row = column = more = 0
    column_name = ""
    faults: "tuple[Fault, ...]" = ()


class FileError(DialarcError, OSError):
    """A file that cannot be opened or read."""

    __str__ = Exception.__str__


class Cancelled(DialarcError):
    """The progress function asked to stop."""


class OutOfMemory(DialarcError, MemoryError):
    """Memory is short."""


for _kind in (DialarcError, Fault, InputError, TableError, FileError, Cancelled,
              OutOfMemory):
    _kind.__module__ = "dialarc"


def _restore_error(kind, args, state):
    made = kind.__new__(kind, *args)
    made.args = args
    made.__dict__.update(state)
    return made


_KINDS = {Status.ERR_FILE: FileError, Status.ERR_NO_MEMORY: OutOfMemory,
          Status.ERR_CANCELLED: Cancelled}


def _nan_field(name, value):
    """Name of the first field that is not finite, such as "cam.lift_mm", or ""."""
    if isinstance(value, float):
        return "" if math.isfinite(value) else name
    if isinstance(value, (list, tuple)):
        named = [(f"{name}[{i}]", item) for i, item in enumerate(value)]
    elif hasattr(value, "_fields"):
        named = [(f"{name}.{field}", getattr(value, value._attributes[field]))
                 for field in value._fields]
    elif isinstance(value, (Injection, Sweep)):
        named = [(f"{name}.{field}", getattr(value, field, None)) for field in
                 ("crank_rpm", "advance_crank_deg", "delay_ms")]
        named = [(n, list(v) if hasattr(v, "__len__") else v) for n, v in named]
    else:
        return ""
    return next(filter(None, (_nan_field(n, v) for n, v in named)), "")


def _table_error(status, function, place):
    faults, count = tuple(Fault(*fault) for fault in place[0]), place[1]
    more = max(count - len(faults), 0)
    lines = [fault.text for fault in faults] + ([f"and {more} more"] if more else [])
    first = faults[0]
    error = TableError("\n".join(lines), status, function, first.column_name)
    error.line, error.row, error.column = first.line, first.row, first.column
    error.column_name, error.faults, error.more = first.column_name, faults, more
    return error


def make_error(status, function, culprit, subjects, place):
    status = Status(status) if status in Status._value2member_map_ else status
    sentence = _core.status_text(status)
    if status == Status.ERR_NOT_FINITE and not culprit:
        culprit = next(filter(None, (_nan_field(*s) for s in subjects)), "")
    where = f"{function}(): " + (f"{culprit}: " if culprit else "")
    if place is not None and status not in _KINDS:
        return _table_error(status, function, place)
    text = place[0][0][0] if place is not None else sentence
    return _KINDS.get(status, InputError)(where + text, status, function, culprit)
