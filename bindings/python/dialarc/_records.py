# SPDX-License-Identifier: GPL-3.0-or-later
"""Records that hold arrays of the caller, and what is read from tables."""
from __future__ import annotations

import array
import copy
import math
from collections.abc import Iterable
from typing import Any

Array = Any


def as_numbers(values: Any, name: str) -> Any:
    """The values as they are if they have the buffer protocol; else as an array('d')."""
    if isinstance(values, (str, bytes)) or values is None:
        raise TypeError(f"{name}: an array of numbers is needed, not "
                        f"{type(values).__name__}")
    if any(kind.__name__ == "MaskedArray" for kind in type(values).__mro__):
        raise TypeError(f"{name}: a masked array: leave out what is masked, or give "
                        "filled(), first")
    try:
        memoryview(values)
    except TypeError:
        try:
            return array.array("d", values)
        except TypeError:
            raise TypeError(f"{name}: an array of numbers is needed") from None
    return values


class _Columns:
    """Attributes by name; repr, to_dict(), equality, copies."""

    _names: tuple[str, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """The attributes as plain data."""
        plain = {}
        for name in self._names:
            value = getattr(self, name)
            if hasattr(value, "tolist"):
                value = value.tolist()
            elif hasattr(value, "to_dict"):
                value = value.to_dict()
            elif isinstance(value, (list, tuple)):
                value = [item.to_dict() if hasattr(item, "to_dict") else item
                         for item in value]
            plain[name] = value
        return plain

    def copy(self) -> Any:
        """A copy that shares nothing."""
        return copy.deepcopy(self)

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented

        def plain(value: Any) -> Any:
            if isinstance(value, float) and math.isnan(value):
                return "nan"
            if isinstance(value, dict):
                return {k: plain(v) for k, v in value.items()}
            return [plain(v) for v in value] if isinstance(value, list) else value
        return bool(plain(self.to_dict()) == plain(other.to_dict()))  # type: ignore

    __hash__ = None  # type: ignore

    def __repr__(self) -> str:
        parts = []
        for name in self._names:
            value = getattr(self, name)
            if value is None:
                continue
            if hasattr(value, "__len__") and not isinstance(value, str):
                parts.append(f"{name}=<{len(value)} values>")
            elif hasattr(value, "_fields"):
                parts.append(f"{name}={type(value).__name__}(...)")
            else:
                parts.append(f"{name}={value!r}")
        return f"{type(self).__name__}({', '.join(parts)})"


class Sweep(_Columns):
    """Dial readings in the order in which they were taken.

    crank_deg: crank angles, degrees; 0 is firing TDC, positive in running direction.
    dial_mm: dial readings, mm, sign as shown.
    direction: None, or for each reading "with" or "against" the running direction.
    name: name of the sweep. setup_name: name of the setup it belongs to.
    setup: that Setup, when the sweep was read with the setups; angle_sd_deg is then in
    crank degrees. line, row: where the readings stand in the table they were read from.

    Arrays of float64 are used where they are; do not change them during a call.
    """

    _names = ("name", "setup_name", "crank_deg", "dial_mm", "direction", "setup", "line",
              "row")

    def __init__(self, crank_deg: Any, dial_mm: Any, direction: Any = None, *,
                 name: str = "", setup_name: str = "", setup: Any = None,
                 line: tuple[int, ...] | None = None, row: int | None = None) -> None:
        self.crank_deg = as_numbers(crank_deg, "Sweep.crank_deg")
        self.dial_mm = as_numbers(dial_mm, "Sweep.dial_mm")
        self.direction = direction
        self.name = name
        self.setup_name = setup_name
        self.setup = setup
        self.setup_index = -1  # which of the setups it was read with
        self.line = line
        self.row = row

    def __len__(self) -> int:
        return len(self.dial_mm)


class Injection(_Columns):
    """What happens between static start of delivery and injection.

    crank_rpm: speeds of the timing device's table, r/min, increasing; none: no device.
    advance_crank_deg: advances there, crank degrees, positive: earlier.
    delay_ms: line delay, and nozzle opening where it counts, ms.
    buildup_crank_deg: crank degrees in which the pressure builds up, of
    delivery_buildup().
    """

    _names = ("crank_rpm", "advance_crank_deg", "delay_ms", "buildup_crank_deg")

    def __init__(self, crank_rpm: Any = (), advance_crank_deg: Any = (),
                 delay_ms: float = 0.0, buildup_crank_deg: float = 0.0) -> None:
        self.crank_rpm = as_numbers(crank_rpm, "Injection.crank_rpm")
        self.advance_crank_deg = as_numbers(advance_crank_deg,
                                            "Injection.advance_crank_deg")
        self.delay_ms = delay_ms
        self.buildup_crank_deg = buildup_crank_deg


class CamRecord(_Columns):
    """A cam as it stands in a cams table: points of one lobe pitch.

    pump_deg: pump angles from the foot of the rise, degrees, rising. lift_mm: lifts
    there, mm. period_deg: pump degrees after which the cam repeats. cam_sd_mm: standard
    uncertainty of the lift near TDC, mm. name: its name.

    table: the curve through the points, a CamTable, for reuse_estimate().
    """

    _names = ("name", "pump_deg", "lift_mm", "period_deg", "cam_sd_mm")

    def __init__(self, pump_deg: Any, lift_mm: Any, period_deg: float, cam_sd_mm: float,
                 name: str = "") -> None:
        self.pump_deg = as_numbers(pump_deg, "CamRecord.pump_deg")
        self.lift_mm = as_numbers(lift_mm, "CamRecord.lift_mm")
        self.period_deg = period_deg
        self.cam_sd_mm = cam_sd_mm
        self.name = name

    def __len__(self) -> int:
        return len(self.lift_mm)

    @property
    def table(self) -> Any:
        """The curve through the points: a new CamTable."""
        from ._handles import CamTable
        return CamTable(self.pump_deg, self.lift_mm, self.period_deg)

    def rows(self) -> str:
        """The rows of the cams table, below cams_header()."""
        from ._functions import cam_format
        return str(cam_format(self.name, self.pump_deg, self.lift_mm, self.period_deg,
                              self.cam_sd_mm))


class Job(_Columns):
    """The rounds of one job, as read from a rounds table.

    name: its name. setup_name, setup: the setup it belongs to. rounds: list of Round in
    the order of the table. line: line of the file of each.
    """

    _names = ("name", "setup_name", "setup", "rounds", "line")

    def __init__(self, rounds: Iterable[Any], *, name: str = "", setup_name: str = "",
                 setup: Any = None, line: tuple[int, ...] | None = None) -> None:
        self.rounds = list(rounds)
        self.name = name
        self.setup_name = setup_name
        self.setup = setup
        self.setup_index = -1  # which of the setups it was read with
        self.line = line

    def __len__(self) -> int:
        return len(self.rounds)
