# SPDX-License-Identifier: GPL-3.0-or-later
"""The structs, with what some of them have besides their fields."""
import typing

from . import _core
from ._enums import Finding, Flank, WhatifInput
from ._functions import (cam_acceleration, cam_angle_at_lift, cam_fall_deg, cam_lift,
                         cam_rate, camtable_from_cam)
from ._headers import CONSTANTS, RECORDS
from ._structs import make_record

__all__ = ["FindingNote", *RECORDS]


class FindingNote(typing.NamedTuple):
    """One of the findings: what, how much it matters, and the reading it points at."""

    finding: typing.Any
    severity: typing.Any
    row: typing.Optional[int]

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
    "Lobes": {"lobe": _views("lobe", "_lobe_at", CONSTANTS["LOBES_MAX"],
                             "The lobes; the first `lobes` of them are used.")},
}
# Structs that others hold come first, so that their class is known.
for _name in sorted(RECORDS, key=lambda n: n in ("Timing", "Plan", "Whatif",
                                                 "WhatifResult", "Lobes")):
    globals()[_name] = make_record(_name, **_MEMBERS.get(_name, {}))
