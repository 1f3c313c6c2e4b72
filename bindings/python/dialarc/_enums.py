# SPDX-License-Identifier: GPL-3.0-or-later
"""Enumerations, as IntEnum; what the wrapper calls is handed over from here on."""
import enum

from . import _core
from ._headers import ENUMS

__all__ = list(ENUMS)


class _Word(enum.IntEnum):
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


Status, Shape, Law, Flank, Side, Contact, Bezel, DialItem, Proof, Finding, Severity, \
    Rotation, WindowAt, Turned, TurnBack, FiringTdc, Direction, Verdict, Advice, \
    Prospect, Heard, StepCode, WhatifInput = (
        _make_enum(_name, *ENUMS[_name]) for _name in (
            "Status", "Shape", "Law", "Flank", "Side", "Contact", "Bezel", "DialItem",
            "Proof", "Finding", "Severity", "Rotation", "WindowAt", "Turned",
            "TurnBack", "FiringTdc", "Direction", "Verdict", "Advice", "Prospect",
            "Heard", "StepCode", "WhatifInput"))

# What the wrapper calls: the numbers of the enumerations here, more in _c.py.
hooks = {_name: dict(globals()[_name]._value2member_map_) for _name in ENUMS}
_core._set_hooks(hooks)

Status.text = property(_core.status_text, doc="The sentence of the code.")
Finding.text = property(_core.finding_text, doc="What was seen and what to do about it.")
Finding.code = property(_core.finding_code, doc="The code as in the results table.")
Severity.text = property(_core.severity_text, doc="The word for it.")
Verdict.text = property(_core.verdict_text, doc="The sentence for it.")
Heard.text = property(_core.heard_text, doc="What has been done, or what is wrong.")
Advice.text = property(_core.advice_text, doc="The sentence for it.")
