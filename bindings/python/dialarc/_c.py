# SPDX-License-Identifier: GPL-3.0-or-later
"""Everything public of the C library, as Python objects.

Structs become classes with keyword constructors, enumerations become IntEnum, status
codes become exceptions, functions take numbers or arrays. What there is comes from the
headers by way of _headers.py; types for checkers stand in _c.pyi.
"""
import array as _array
import enum as _enum
import math as _math
import typing as _typing

from . import _core
from ._headers import CONSTANTS, ENUMS, FUNCTIONS, RECORDS
from ._records import DialCal, Injection, Job, Sweep

try:
    import numpy as _numpy
except ImportError:
    _numpy = None

LOBES_MAX = CONSTANTS["LOBES_MAX"]
globals().update(CONSTANTS)

# ---- enumerations ---------------------------------------------------------------------


class _Word(_enum.IntEnum):
    """Prints as its word: str(Verdict.LOW) is "low"."""

    def __str__(self):
        return self.name.lower()

    def __format__(self, spec):
        return format(str(self), spec)


def _make_enum(name, doc, members):
    made = _Word(name, [(member, value) for member, value, _ in members],
                         module="dialarc")
    made.__doc__ = doc + "\n\n" + "\n".join(
        f"{member}: {text}" if text else member for member, _, text in members)
    return made


Status, Shape, Law, Flank, Side, Contact, Bezel, DialItem, Finding, Severity, Rotation, \
    Direction, Verdict, WhatifInput = (
        _make_enum(_name, *ENUMS[_name]) for _name in (
            "Status", "Shape", "Law", "Flank", "Side", "Contact", "Bezel", "DialItem",
            "Finding", "Severity", "Rotation", "Direction", "Verdict", "WhatifInput"))

# What the wrapper calls: the numbers of the enumerations here, more below.
_hooks = {_name: dict(globals()[_name]._value2member_map_) for _name in ENUMS}
_core._set_hooks(_hooks)

Status.text = property(_core.status_text, doc="The sentence of the code.")
Finding.text = property(_core.finding_text, doc="What was seen and what to do about it.")
Finding.code = property(_core.finding_code, doc="The code as in the results table.")
Severity.text = property(_core.severity_text, doc="The word for it.")
Verdict.text = property(_core.verdict_text, doc="The sentence for it.")

# ---- errors ---------------------------------------------------------------------------


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


class TableError(InputError):
    """A table that cannot be used: line, row and column say where (0: nowhere)."""

    line = row = column = 0
    column_name = ""


class FileError(DialarcError, OSError):
    """A file that cannot be opened or read."""

    __str__ = Exception.__str__


class Cancelled(DialarcError):
    """The progress function asked to stop."""


class OutOfMemory(DialarcError, MemoryError):
    """Memory is short."""


for _kind in (DialarcError, InputError, TableError, FileError, Cancelled, OutOfMemory):
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
        return "" if _math.isfinite(value) else name
    if isinstance(value, (list, tuple)):
        named = [(f"{name}[{i}]", item) for i, item in enumerate(value)]
    elif isinstance(value, Record):
        named = [(f"{name}.{field}", getattr(value, value._attributes[field]))
                 for field in value._fields]
    elif isinstance(value, (DialCal, Injection, Sweep)):
        named = [(f"{name}.{field}", getattr(value, field, None)) for field in
                 ("shown_mm", "true_mm", "crank_rpm", "advance_crank_deg", "delay_ms")]
        named = [(n, list(v) if hasattr(v, "__len__") else v) for n, v in named]
    else:
        return ""
    return next(filter(None, (_nan_field(n, v) for n, v in named)), "")


def _make_error(status, function, culprit, subjects, place):
    status = Status(status) if status in Status._value2member_map_ else status
    sentence = _core.status_text(status)
    if status == Status.ERR_NOT_FINITE and not culprit:
        culprit = next(filter(None, (_nan_field(*s) for s in subjects)), "")
    where = f"{function}(): " + (f"{culprit}: " if culprit else "")
    if place is not None and status not in _KINDS:
        text, line, row, column, column_name = place
        error = TableError(text, status, function, column_name)
        error.line, error.row, error.column = line, row, column
        error.column_name = column_name
        return error
    text = place[0] if place is not None else sentence
    return _KINDS.get(status, InputError)(where + text, status, function, culprit)


# ---- arrays ---------------------------------------------------------------------------


def _make_array(like, shape):
    """A new array of float64, like another one where that is known."""
    if _numpy is not None and not isinstance(like, _array.array):
        return _numpy.empty(shape)
    return _array.array("d", bytes(8 * _math.prod(shape)))


# ---- structs --------------------------------------------------------------------------


def _tell(value):
    """A value as plain data: numbers, text, lists, dicts."""
    if isinstance(value, Record):
        return value.to_dict()
    if isinstance(value, _enum.IntEnum):
        return value.name.lower()
    if isinstance(value, tuple):
        return [_tell(item) for item in value]
    return value


def _same(a, b):
    if isinstance(a, tuple) and isinstance(b, tuple):
        return len(a) == len(b) and all(map(_same, a, b))
    return bool(a == b) or (isinstance(a, float) and isinstance(b, float) and
                            _math.isnan(a) and _math.isnan(b))


class Record:
    """What all structs have in common: keywords, repr, to_dict(), copies, pickles."""

    _fields: tuple = ()
    _attributes: dict = {}

    def __init__(self, *args, **keywords):
        name = type(self).__name__
        super().__init__()
        self._begin()
        if len(args) > len(self._fields):
            raise TypeError(f"{name}() takes {len(self._fields)} arguments, not {len(args)}")
        given = dict(zip(self._fields, args))
        for field, value in keywords.items():
            if field not in self._attributes:
                raise TypeError(f"{name}(): no argument is called {field!r}; they are "
                                + ", ".join(self._fields))
            if field in given:
                raise TypeError(f"{name}(): {field} is given twice")
            given[field] = value
        for field, value in given.items():
            if value is not None:
                setattr(self, self._attributes[field], value)
        if self._check is not None:
            try:
                self._check(self)
            except DialarcError as error:
                error.function = name
                error.args = (f"{name}(): {error.sentence}",)
                raise

    _check: _typing.Any = None

    def _begin(self):
        """What a struct holds before its fields are given: zeros."""

    def __setattr__(self, name, value):
        if name == "this" or name in self._settable:
            object.__setattr__(self, name, value)
            return
        raise AttributeError(f"{type(self).__name__} has no field {name!r}; it has "
                             + ", ".join(self._attributes.values()))

    def _values(self):
        return tuple(getattr(self, self._attributes[field]) for field in self._fields)

    def to_dict(self):
        """The fields as plain data: numbers, words, lists and dicts."""
        return {field: _tell(value) for field, value in zip(self._fields, self._values())}

    def copy(self):
        """A copy that shares nothing."""
        return _restore(type(self), self._values())

    __copy__ = copy

    def __deepcopy__(self, memo):
        return self.copy()

    def __reduce__(self):
        return (_restore, (type(self), self._values()))

    def __eq__(self, other):
        if type(other) is not type(self):
            return NotImplemented
        return _same(self._values(), other._values())

    __hash__ = None

    def __repr__(self):
        parts = []
        for field, value in zip(self._fields, self._values()):
            if isinstance(value, float) and _math.isnan(value) and self._hide_unknown:
                continue
            if isinstance(value, _enum.IntEnum):
                text = f"{type(value).__name__}.{value.name}"
            elif isinstance(value, tuple) and len(value) > 12:
                text = f"<{len(value)} values>"
            elif isinstance(value, float):
                text = f"{value:.10g}"
            else:
                text = repr(value)
            parts.append(f"{field}={text}")
        return f"{type(self).__name__}({', '.join(parts)})"

    _hide_unknown = False


def _restore(cls, values):
    """A struct from the values of its fields, not checked."""
    made = cls.__new__(cls)
    super(Record, made).__init__()
    for field, value in zip(cls._fields, values):
        setattr(made, cls._attributes[field], value)
    return made


def _nested(prop):
    """A field that is a struct: a view that keeps its owner; setting copies."""
    def get(self):
        view = prop.fget(self)
        object.__setattr__(view, "_owner", self)
        return view

    def put(self, value):
        view = get(self)
        if type(value) is not type(view):
            raise TypeError(f"a dialarc.{type(view).__name__} is needed, not "
                            f"{type(value).__name__}")
        for field, item in zip(view._fields, value._values()):
            setattr(view, view._attributes[field], item)
    return property(get, put)


# Fields whose Python name is not that of the C struct, because it names a method.
_OTHER_NAMES = {("Cam", "lift_mm"): "total_lift_mm"}
_CHECKS = {"Cam": _core.cam_check, "Crank": _core.crank_check, "Dial": _core.dial_check,
           "Setup": _core.setup_check,
           "Stage": lambda stage: _core.drive_check([stage])}


def _make_record(name, **members):
    """The class of a struct: the wrapper's own, with what Record adds."""
    base, described = getattr(_core, name), RECORDS[name]
    sample, members = base(), {**members, "__module__": "dialarc"}
    attributes = {}
    for field, text in described["fields"]:
        attribute = _OTHER_NAMES.get((name, field), field)
        prop = vars(base)[field]
        if hasattr(getattr(sample, field), "this"):
            prop = _nested(prop)
        members.setdefault(attribute, property(prop.fget, prop.fset, None, text))
        attributes[field] = attribute
    members["_fields"] = tuple(attributes)
    members["_attributes"] = attributes
    members["_settable"] = frozenset(attributes.values())
    members["__match_args__"] = tuple(attributes.values())
    members["__doc__"] = described["doc"] + "\n\n" + "\n".join(
        f"{field}: {text}" if text else field for field, text in described["fields"])
    members["__text_signature__"] = "(" + ", ".join(f"{f}=None" for f in attributes) + ")"
    if name in _CHECKS:
        members["_check"] = staticmethod(_CHECKS[name])
    made = type(name, (Record, base), members)
    getattr(_core._dialarc, name + "_swigregister")(made)
    return made


# ---- functions ------------------------------------------------------------------------


def _make_function(name):
    about = FUNCTIONS[name]
    form = getattr(_core, name)
    scalar, array = (form, getattr(_core, about["array"])) if about["pair"] else \
        (None, form) if about["outs"] else (form, None)
    vary = sum(1 << place for place, _ in about["vary"])
    return _core._function(name, scalar, array, about["names"], about["required"], vary,
                           about["outs"], about["signature"], about["doc"])


globals().update({_name: _make_function(_name) for _name in FUNCTIONS})
read_file = _core._function(
    "read_file", _core.read_file, None, ("path", "size"), 2, 0, 0, "(path, size)",
    "The first bytes of a file, as the library reads them.\n\nIn C: dialarc_read_file()")
read_memory = _core._function(
    "read_memory", _core.read_memory, None, ("data", "used", "size"), 3, 0, 0,
    "(data, used, size)", "At most size bytes of data, those before used left out, as the "
    "library reads a table in memory.\n\nIn C: dialarc_read_memory()")



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

# ---- classes with more than fields ----------------------------------------------------


class FindingNote(_typing.NamedTuple):
    """One of the findings: what, how much it matters, and the reading it points at."""

    finding: _typing.Any
    severity: _typing.Any
    row: _typing.Optional[int]

    @property
    def code(self):
        """The code as in the results table."""
        return self.finding.code

    @property
    def text(self):
        """What was seen and what to do about it."""
        return self.finding.text


class _FindingsPart:
    def _notes(self):
        present, severity, row = self.present, self.severity, self.row
        return [FindingNote(f, severity[f], row[f]) for f in Finding if present >> f & 1]

    def __iter__(self):
        return iter(self._notes())

    def __len__(self):
        return bin(self.present).count("1")

    def __contains__(self, finding):
        if isinstance(finding, str):
            finding = Finding[finding.upper()]
        return isinstance(finding, int) and bool(self.present >> finding & 1)

    def codes(self):
        """Codes of the findings, as in the results table."""
        return [note.code for note in self]

    def to_dict(self):
        """Findings by code: severity and row."""
        return {note.code: {"severity": note.severity.name.lower(), "row": note.row}
                for note in self}

    def __repr__(self):
        return f"Findings({', '.join(self.codes())})"


def _setup_begin(self):
    """Nothing is known."""
    unknown = _core.setup_unknown(0)
    for field in self._fields:
        setattr(self, field, getattr(unknown, field))


def _cam_angle_at_lift(self, lift_mm, flank=Flank.RISING, *, out=None):
    """Pump angle at which a flank passes a lift: cam_angle_at_lift()."""
    return cam_angle_at_lift(self, lift_mm, flank, out=out) if out is not None else \
        cam_angle_at_lift(self, lift_mm, flank)


def _cam_fall_deg(self):
    return cam_fall_deg(self)


def _cam_table(self, points=360):
    """A CamTable of one lobe pitch of this cam."""
    return camtable_from_cam(self, points)


def _views(name, at, count, doc):
    """A field that is an array of structs: views that keep their owner."""
    def get(self):
        views = tuple(getattr(self, at)(i) for i in range(count))
        for view in views:
            object.__setattr__(view, "_owner", self)
        return views

    def put(self, values):
        views = get(self)
        if len(values) != len(views):
            raise ValueError(f"{name}: {len(views)} are needed, not {len(values)}")
        for view, value in zip(views, values):
            for field in view._fields:
                setattr(view, field, getattr(value, field))
    return property(get, put, None, doc)


_MEMBERS = {
    "Setup": {"_hide_unknown": True, "_begin": _setup_begin},
    "Findings": {key: value for key, value in vars(_FindingsPart).items()
                 if not key.startswith("__") or key in ("__iter__", "__len__",
                                                        "__contains__", "__repr__")},
    "Cam": {"lift_mm": cam_lift, "rate_mm_per_deg": cam_rate,
            "acceleration_mm_per_deg2": cam_acceleration,
            "angle_at_lift": _cam_angle_at_lift, "table": _cam_table,
            "fall_deg": property(_cam_fall_deg, None, None, "Length of the fall, deg.")},
    "Whatif": {"input": _views("input", "_input_at", len(WhatifInput),
                               "The inputs by WhatifInput; change their fields.")},
    "Lobes": {"lobe": _views("lobe", "_lobe_at", LOBES_MAX,
                             "The lobes; the first `lobes` of them are used.")},
}
# Structs that others hold come first, so that their class is known.
for _name in sorted(RECORDS, key=lambda n: n in ("Timing", "Plan", "Whatif",
                                                 "WhatifResult", "Lobes")):
    globals()[_name] = _make_record(_name, **_MEMBERS.get(_name, {}))


def _make_handle(name, doc, **members):
    made = type(name, (getattr(_core, name),), {**members, "__doc__": doc,
                                                "__module__": "dialarc"})
    getattr(_core._dialarc, name + "_swigregister")(made)
    return made


def _refuse_copy(self, *_):
    raise TypeError(f"a {type(self).__name__} cannot be pickled or copied")


def _camtable_init(self, pump_deg, lift_mm, period_deg):
    made = camtable_new(pump_deg, lift_mm, period_deg)
    self.this = made.this
    points = tuple(array.tobytes() if hasattr(array, "tobytes") else
                   _array.array("d", array).tobytes() for array in (pump_deg, lift_mm))
    object.__setattr__(self, "_made_from", (points, float(period_deg)))


def _adopt(make):
    def init(self):
        self.this = make().this
    return init


def _restore_camtable(points, period_deg):
    return CamTable(*(_array.array("d", data) for data in points), period_deg)


def _camtable_reduce(self):
    made_from = getattr(self, "_made_from", None)
    if made_from is None:
        raise TypeError("this CamTable does not hold its points; make it by CamTable(...)")
    return (_restore_camtable, made_from)


CamTable = _make_handle(
    "CamTable", "A measured cam as a periodic curve.\n\nCamTable(pump_deg, lift_mm, "
    "period_deg): points, pump degrees and mm; the cam repeats after period_deg.",
    __init__=_camtable_init, __reduce__=_camtable_reduce,
    __text_signature__="(pump_deg, lift_mm, period_deg)",
    motion=camtable_motion, lift_mm=camtable_lift_array, angle_at_lift=camtable_angle_at_lift,
    range=camtable_range, compare=camcompare_summary,
    period_deg=property(lambda self: camtable_range(self)[0], None, None,
                        "Pump degrees after which the cam repeats."))
Workspace = _make_handle(
    "Workspace", "Memory of the estimator: one for each thread.",
    __init__=_adopt(workspace_new), __text_signature__="()", __reduce__=_refuse_copy)
SweepBuffer = _make_handle("SweepBuffer", "Memory of one sweep that is read.",
                           __init__=_adopt(sweep_buffer_new), __text_signature__="()",
                           __reduce__=_refuse_copy)
SweepReader = _make_handle("SweepReader", "Reads sweeps one at a time: sweep_reader_new().",
                           __reduce__=_refuse_copy)


def _item(count, get):
    def getitem(self, index):
        number = index.__index__()
        if number < 0:
            number += count(self)
        if not 0 <= number < count(self):
            raise IndexError(f"there is no number {index}")
        return get(self, number)
    return getitem


_setups_at = _item(setups_count, setups_get)


def _setups_getitem(self, name):
    if not isinstance(name, str):
        return _setups_at(self, name)
    try:
        return setups_get(self, setups_find(self, name))
    except InputError:
        raise KeyError(name) from None


def _setups_keys(self):
    """Names of the setups in the order of the table."""
    return [setups_name(self, i) for i in range(setups_count(self))]


def _setups_values(self):
    """The setups in the order of the table."""
    return [setups_get(self, i) for i in range(setups_count(self))]


def _setups_items(self):
    """Pairs of name and setup in the order of the table."""
    return list(zip(_setups_keys(self), _setups_values(self)))


def _setups_to_dict(self):
    """The table as a dict of columns."""
    rows = [{"setup": name, **setup.to_dict()} for name, setup in _setups_items(self)]
    return {column: [row[column] for row in rows] for column in rows[0]}


Setups = _make_handle(
    "Setups", "A setups table: by name or number, in the order of the table.",
    __len__=lambda self: setups_count(self), __iter__=lambda self: iter(_setups_keys(self)),
    __contains__=lambda self, name: name in _setups_keys(self),
    __getitem__=_setups_getitem, keys=_setups_keys, values=_setups_values,
    items=_setups_items, to_dict=_setups_to_dict, __reduce__=_refuse_copy)
Sweeps = _make_handle(
    "Sweeps", "All sweeps of a table.", __len__=lambda self: sweeps_count(self),
    __iter__=lambda self: (sweeps_get(self, i) for i in range(sweeps_count(self))),
    __getitem__=_item(sweeps_count, sweeps_get), __reduce__=_refuse_copy)
Jobs = _make_handle(
    "Jobs", "All jobs of a rounds table.", __len__=lambda self: jobs_count(self),
    __iter__=lambda self: (jobs_get(self, i) for i in range(jobs_count(self))),
    __getitem__=_item(jobs_count, jobs_get), __reduce__=_refuse_copy)

# ---- what the wrapper calls -----------------------------------------------------------

def _make_sweep(name, setup_index, setup, crank_deg, dial_mm, direction, line, row):
    sweep = Sweep(crank_deg, dial_mm, direction, name=name, setup=setup, line=line, row=row)
    sweep.setup_index = setup_index
    return sweep


def _make_job(name, setup_index, setup, rounds, line):
    job = Job([_restore(Round, values) for values in rounds], name=name, setup=setup,
              line=line)
    job.setup_index = setup_index
    return job


_hooks.update({
    "make_error": _make_error, "make_array": _make_array, "make_sweep": _make_sweep,
    "make_job": _make_job, "Sweep": Sweep, "DialCal": DialCal, "Injection": Injection,
    "make_word": lambda kind, word: globals()[kind][word.upper()]})

__all__ = [name for name in globals() if not name.startswith("_") and
           name not in ("CONSTANTS", "ENUMS", "FUNCTIONS", "RECORDS")]
