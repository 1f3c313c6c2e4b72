# SPDX-License-Identifier: GPL-3.0-or-later
"""Type stubs of everything that the headers say."""
from headers import (HANDLES, OTHER_NAMES, PAIRS, class_name, describe, field_hint,
                     fields, result_hint, result_hints, result_names)

# Functions that are methods too: their first argument is the object.
METHODS = {
    "Cam": {"lift_mm": "cam_lift", "rate_mm_per_deg": "cam_rate",
            "acceleration_mm_per_deg2": "cam_acceleration"},
    "CamTable": {"motion": "camtable_motion", "motion_sd": "camtable_motion_sd",
                 "smoothing": "camtable_smoothing", "lift_mm": "camtable_lift_array",
                 "angle_at_lift": "camtable_angle_at_lift", "range": "camtable_range",
                 "compare": "camcompare_summary", "cam": "cam_from_table"},
    "DialCal": {"range": "dialcal_range", "to_true": "dialcal_true",
                "to_shown": "dialcal_shown"},
    "Archive": {"add": "archive_add", "errors": "archive_errors"},
    "Setups": {"use_dials": "setups_use_dials"},
    "LearnedCam": {"lobe": "learned_cam_lobe", "share": "learned_cam_share",
                   "sd_mm": "learned_cam_sd", "table": "learned_cam_table",
                   "timing": "learned_cam_timing"},
}
STUB_HEAD = '''\
# SPDX-License-Identifier: GPL-3.0-or-later
# Made from the public headers by describe.py.
import os
from enum import IntEnum
from typing import Any, BinaryIO, Callable, ClassVar, Iterator, NamedTuple, Sequence
from typing import overload

from ._records import CamRecord as CamRecord, Injection as Injection
from ._records import Job as Job, Sweep as Sweep

# A list, array.array, numpy.ndarray or anything with the buffer protocol; what comes back
# is a numpy.ndarray, or an array.array where NumPy is not installed.
_Numbers = Any
_Array = Any
_StrPath = str | bytes | os.PathLike[str] | os.PathLike[bytes]
_Source = bytes | bytearray | memoryview | BinaryIO

class DialarcError(Exception):
    status: Status
    sentence: str
    function: str
    argument: str

class InputError(DialarcError, ValueError): ...
class Fault(NamedTuple):
    text: str
    line: int
    row: int
    column: int
    column_name: str

class TableError(InputError):
    line: int
    row: int
    column: int
    column_name: str
    faults: tuple[Fault, ...]
    more: int
class FileError(DialarcError, OSError): ...
class Cancelled(DialarcError): ...
class OutOfMemory(DialarcError, MemoryError): ...

class Record:
    def to_dict(self) -> dict[str, Any]: ...
    def copy(self) -> Any: ...
    def __copy__(self) -> Any: ...
    def __deepcopy__(self, memo: Any) -> Any: ...
    def __reduce__(self) -> tuple[Any, ...]: ...
    def __eq__(self, other: object) -> bool: ...

class FindingNote(NamedTuple):
    finding: Finding
    severity: Severity
    row: int | None
    @property
    def code(self) -> str: ...
    @property
    def text(self) -> str: ...

def _make_array(like: Any, shape: tuple[int, ...]) -> Any: ...
def batch_assess(setups: Sequence[Setup], sweeps: Sequence[Sweep], threads: int = 0,
                 progress: Callable[[int, int], object] | None = None
                 ) -> list[tuple[Status, Timing, Decision]]: ...
def read_file(path: _StrPath, size: int) -> bytes: ...
def read_memory(data: bytes | bytearray | memoryview, used: int, size: int) -> bytes: ...
def stream_assess(read: _Source, setups: Setups, threads: int = 0) -> str: ...
'''
EXTRA = {
    "Findings": ["def __iter__(self) -> Iterator[FindingNote]: ...",
                 "def __len__(self) -> int: ...",
                 "def __contains__(self, finding: object) -> bool: ...",
                 "def codes(self) -> list[str]: ..."],
    "Cam": [
        "@property", "def fall_deg(self) -> float: ...",
        "@overload",
        "def angle_at_lift(self, lift_mm: float, flank: Flank | str | int = ...) "
        "-> float: ...",
        "@overload",
        "def angle_at_lift(self, lift_mm: _Numbers, flank: Flank | str | int = ..., *, "
        "out: Any = None) -> _Array: ...",
        "def table(self, points: int = 360) -> CamTable: ..."],
}
HANDLE_BODY = {
    "CamTable": ["def __init__(self, pump_deg: _Numbers, lift_mm: _Numbers, "
                 "period_deg: float)"
                 " -> None: ...",
                 "def __reduce__(self) -> tuple[Any, ...]: ...",
                 "@property", "def period_deg(self) -> float: ..."],
    "LearnedCam": ["def __init__(self, setup: Setup, sweep: Sweep,\n"
                   "                 workspace: Workspace | None = None) -> None: ...",
                   "def cam(self) -> Cam: ..."],
    "DialCal": ["def __init__(self, shown_mm: _Numbers, true_mm: _Numbers, "
                "u_mm: float = 0.0)"
                " -> None: ...",
                "def __reduce__(self) -> tuple[Any, ...]: ...",
                "def __len__(self) -> int: ...",
                "@property", "def shown_mm(self) -> _Array: ...",
                "@property", "def true_mm(self) -> _Array: ...",
                "@property", "def u_mm(self) -> float: ..."],
    "Dials": ["def __len__(self) -> int: ...", "def __iter__(self) -> Iterator[str]: ...",
              "def __contains__(self, name: object) -> bool: ...",
              "def __getitem__(self, name: str | int) -> DialCal: ...",
              "def certificate(self, name: str | int) -> str: ...",
              "def calibrated_on(self, name: str | int) -> str: ...",
              "def keys(self) -> list[str]: ...",
              "def values(self) -> list[DialCal]: ...",
              "def items(self) -> list[tuple[str, DialCal]]: ..."],
    "Rows": ["def __len__(self) -> int: ...",
             "def number(self, index: int, column: str) -> float: ...",
             "def text(self, index: int, column: str) -> str: ...",
             "def line(self, index: int) -> int: ..."],
    "Workspace": ["def __init__(self) -> None: ..."],
    "Lifts": ["def __len__(self) -> int: ..."],
    "Archive": ["def __init__(self) -> None: ..."],
    "SweepBuffer": ["def __init__(self) -> None: ..."],
    "Setups": ["def __len__(self) -> int: ...",
               "def __iter__(self) -> Iterator[str]: ...",
               "def __contains__(self, name: object) -> bool: ...",
               "def __getitem__(self, name: str | int) -> Setup: ...",
               "def keys(self) -> list[str]: ...", "def values(self) -> list[Setup]: ...",
               "def items(self) -> list[tuple[str, Setup]]: ...",
               "def to_dict(self) -> dict[str, list[Any]]: ..."],
    "Sweeps": ["def __len__(self) -> int: ...",
               "def __iter__(self) -> Iterator[Sweep]: ...",
               "def __getitem__(self, index: int) -> Sweep: ..."],
    "Jobs": ["def __len__(self) -> int: ...", "def __iter__(self) -> Iterator[Job]: ...",
             "def __getitem__(self, index: int) -> Job: ..."],
    "Cams": ["def __len__(self) -> int: ...", "def __iter__(self) -> Iterator[str]: ...",
             "def __contains__(self, name: object) -> bool: ...",
             "def __getitem__(self, name: str | int) -> CamRecord: ...",
             "def keys(self) -> list[str]: ...",
             "def values(self) -> list[CamRecord]: ...",
             "def items(self) -> list[tuple[str, CamRecord]]: ..."],
}
ENUM_EXTRA = {"Status": ["text"], "Finding": ["code", "text"], "Severity": ["text"],
              "Verdict": ["text"], "Advice": ["text"], "Heard": ["text"]}


def stub_function(name, functions, indent="", method=None):
    info, shown, _ = describe(name, functions)
    varying = {n for _, n in info["vary"]}
    lines, label = [], method or name

    def one(scalar):
        args = []
        for i, a in enumerate(shown):
            hint = a.hint(name, scalar) if not (info["pair"] and a.name in varying) else \
                ("float" if scalar else "_Numbers")
            if a.is_array() and not info["outs"]:
                hint = "_Numbers"
            args.append(f"{a.name}: {hint}" + (" | None = None" if i >= info["required"]
                                               else ""))
        if method:
            args[0] = shown[0].name
        if info["outs"] and not scalar:
            args += ["*", "out: Any = None"]
        end = result_hint(name, functions, scalar)
        lines.append(f"def {label}({', '.join(args)}) -> {end}: ...")

    if info["outs"] and info["vary"]:
        lines.append("@overload")
        one(True)
        lines.append("@overload")
        one(False)
    else:
        one(False)
    return [indent + text for text in lines]


def stub_results(functions):
    """Classes of several results of one call."""
    out = []
    for name in functions:
        made = result_names(name, functions)
        if not made or name in PAIRS.values():
            continue
        hints = zip(made[1], result_hints(name, functions, True),
                    result_hints(name, functions, False))
        both = describe(name, functions)[0]
        out.append(f"class {made[0]}(NamedTuple):")
        out += [f"    {field}: " + ("Any" if scalar != array and both["vary"] else array)
                for field, scalar, array in hints]
        out.append("")
    return out


def stub(functions, structs, enums, constants):
    out = [STUB_HEAD]
    out += [f"{name}: {'float' if isinstance(v, float) else 'int'}"
            for name, v in constants.items()] + [""]
    for name, (_, members) in enums.items():
        out += [f"class {name}(IntEnum):"] + [f"    {m} = {v}" for m, v, _ in members]
        for extra in ENUM_EXTRA.get(name, []):
            out += ["    @property", f"    def {extra}(self) -> str: ..."]
        out.append("")
    for stem in HANDLES:
        name = class_name(stem)
        out += [f"class {name}:"] + [f"    {text}"
                                     for text in HANDLE_BODY.get(name, ["..."])]
        for method, function in METHODS.get(name, {}).items():
            out += stub_function(function, functions, "    ", method)
        out.append("")
    out += stub_results(functions)
    for stem, (_, body) in structs.items():
        name, init = class_name(stem), []
        out.append(f"class {name}(Record):")
        out.append("    __match_args__: ClassVar[tuple[str, ...]]")
        for field, kind, dims, _ in fields(body):
            hint = field_hint(stem, field, kind, dims)
            out.append(f"    {OTHER_NAMES.get((name, field), field)}: {hint}")
            given = hint + (" | str | int" if hint in enums else "")
            given = "Sequence[Any]" if dims and hint != "str" else given
            init.append(f"{field}: {given} | None = ...")
        out.append(f"    def __init__(self, {', '.join(init)}) -> None: ...")
        out += [f"    {text}" for text in EXTRA.get(name, [])]
        for method, function in METHODS.get(name, {}).items():
            out += stub_function(function, functions, "    ", method)
        out.append("")
    for name in functions:
        if name not in PAIRS.values():
            out += stub_function(name, functions)
    return "\n".join(out) + "\n"
