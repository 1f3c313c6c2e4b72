# SPDX-License-Identifier: GPL-3.0-or-later
"""Structs, as classes: the wrapper's own, with keywords, repr, copies and pickles."""
import enum
import math
import typing

from . import _core
from ._errors import DialarcError
from ._headers import OTHER_NAMES, RECORDS

__all__ = ["Record"]


def _tell(value):
    """A value as plain data: numbers, text, lists, dicts."""
    if isinstance(value, Record):
        return value.to_dict()
    if isinstance(value, enum.IntEnum):
        return value.name.lower()
    if isinstance(value, tuple):
        return [_tell(item) for item in value]
    if isinstance(value, _core.CamTable):
        return dict(zip(("period_deg", "low_mm", "high_mm"), _core.camtable_range(value)))
    if isinstance(value, _core.DialCal):
        return {"shown_mm": list(value.shown_mm), "true_mm": list(value.true_mm),
                "u_mm": value.u_mm}
    return value


def _same(a, b):
    if isinstance(a, tuple) and isinstance(b, tuple):
        return len(a) == len(b) and all(map(_same, a, b))
    return bool(a == b) or (isinstance(a, float) and isinstance(b, float) and
                            math.isnan(a) and math.isnan(b))


class Record:
    """What all structs have in common: keywords, repr, to_dict(), copies, pickles."""

    _fields: tuple = ()
    _attributes: dict = {}

    def __init__(self, *args, **keywords):
        name = type(self).__name__
        super().__init__()
        self._begin()
        if len(args) > len(self._fields):
            raise TypeError(f"{name}() takes {len(self._fields)} arguments, not "
                            f"{len(args)}")
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

    _check: typing.Any = None

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
        return restore(type(self), self._values())

    __copy__ = copy

    def __deepcopy__(self, memo):
        return self.copy()

    def __reduce__(self):
        return (restore, (type(self), self._values()))

    def __eq__(self, other):
        if type(other) is not type(self):
            return NotImplemented
        return _same(self._values(), other._values())

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self):
        parts = []
        for field, value in zip(self._fields, self._values()):
            if isinstance(value, float) and math.isnan(value) and self._hide_unknown:
                continue
            if isinstance(value, enum.IntEnum):
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


def restore(cls, values):
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


_CHECKS = {"Cam": _core.cam_check, "Crank": _core.crank_check, "Dial": _core.dial_check,
           "Setup": _core.setup_check,
           "Stage": lambda stage: _core.drive_check([stage])}


def make_record(name, **members):
    """The class of a struct: the wrapper's own, with what Record adds."""
    base, described = getattr(_core, name), RECORDS[name]
    sample, members = base(), {**members, "__module__": "dialarc"}
    attributes = {}
    for field, text in described["fields"]:
        attribute = OTHER_NAMES.get((name, field), field)
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
