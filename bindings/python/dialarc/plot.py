# SPDX-License-Identifier: GPL-3.0-or-later
"""Pictures: each function draws one and returns its Matplotlib figure.

    figure = dialarc.plot.sweep(assessment)
    dialarc.plot.save(figure, "sweep")        # sweep.svg and sweep.png

Colours are those of Okabe and Ito, told apart by colour-blind eyes too; markers and line
styles differ as well, for print in black and white. Needs Matplotlib and NumPy.
"""
from __future__ import annotations

import functools
import math
import os
import textwrap
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import dialarc as _d

__all__ = ["bars", "budget", "cam", "lobes", "rounds", "save", "slack_loop", "sweep",
           "tornado"]

_BLUE, _ORANGE, _GREEN, _RED = "#0072B2", "#E69F00", "#009E73", "#D55E00"
_GREY = "#666666"
_STYLE = {"font.size": 9, "axes.spines.top": False, "axes.spines.right": False,
          "axes.grid": True, "grid.color": "#dddddd", "grid.linewidth": 0.6,
          "axes.axisbelow": True, "legend.frameon": False, "svg.fonttype": "none",
          "svg.hashsalt": "dialarc", "axes.titlelocation": "left", "axes.titlesize": 10}


_Draw = TypeVar("_Draw", bound=Callable[..., Any])


def _styled(draw: _Draw) -> _Draw:
    """Draws in the style of this module, whatever the host's style is."""
    @functools.wraps(draw)
    def styled(*args: Any, **keywords: Any) -> Any:
        try:
            from matplotlib import rc_context, rcParamsDefault  # type: ignore
        except ImportError as error:
            raise ImportError("dialarc.plot needs Matplotlib: install python3-matplotlib "
                              "(Debian) or `pip install matplotlib`") from error
        quiet = {key: value for key, value in rcParamsDefault.items()
                 if key.startswith(("axes.", "font.", "lines.", "legend.", "xtick.",
                                    "ytick.",
                                    "figure.", "grid.", "hatch.", "errorbar.", "svg."))}
        with rc_context({**quiet, **_STYLE}):
            return draw(*args, **keywords)
    return styled  # type: ignore[return-value]


def _figure(rows: int = 1, size: tuple[float, float] = (6.6, 3.8), **other: Any) -> Any:
    from matplotlib.backends.backend_agg import FigureCanvasAgg  # type: ignore
    from matplotlib.figure import Figure  # type: ignore
    figure = Figure(figsize=size, layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.subplots(rows, squeeze=False, **other)[:, 0]
    return figure, (axes[0] if rows == 1 else axes)


def _title(axes: Any, text: str) -> None:
    axes.set_title(textwrap.fill(text, 82), fontsize=10)


@_styled
def save(figure: Any, name: str | os.PathLike[str], dpi: int = 150) -> list[Path]:
    """Writes a figure as SVG and PNG; gives the two paths.

    name: path without its ending. The files are the same byte for byte each time.
    """
    paths = [Path(f"{os.fspath(name)}{ending}") for ending in (".svg", ".png")]
    figure.savefig(paths[0], metadata={"Date": None})
    figure.savefig(paths[1], dpi=dpi)
    return paths


def _numpy() -> Any:
    import numpy
    return numpy


def _curve(result: Any) -> tuple[Any, Any]:
    """Crank angles and lifts of the fitted rise."""
    np = _numpy()
    timing, ratio = result.timing, result.setup.crank_per_pump
    ratio = 2.0 if math.isnan(ratio) else ratio
    lift = np.array(timing.rise_mm)
    return (timing.minimum_crank_deg +
            np.linspace(0.0, timing.rise_pump_deg * ratio, len(lift)), lift)


def _ways(result: Any) -> Any:
    """For each reading whether the crank came to it forward."""
    np = _numpy()
    crank = np.asarray(result.sweep.crank_deg)
    step = np.diff(crank, prepend=crank[:1])
    step = np.where(step == 0.0, np.nan, step)
    forward, last = [], True
    for value in step:
        last = last if math.isnan(value) else value > 0.0
        forward.append(last)
    return np.array(forward, dtype=bool)


def _sense(setup: Any) -> float:
    """1 for a dial that rises with the lift, -1 for one that falls."""
    return -1.0 if setup.dial_sense < 0 else 1.0


def _lifts(result: Any) -> Any:
    """Readings as lifts: from the minimum, rising with the lift."""
    above = _numpy().asarray(result.sweep.dial_mm) - result.timing.minimum_mm
    return _sense(result.setup) * above


def _verdict(result: Any) -> str:
    timing, decision = result.timing, result.decision
    if math.isnan(timing.lift_mm):
        return f"{result.sweep.name or 'Sweep'}: {decision.verdict.text}"
    text = f"lift at TDC {timing.lift_mm:.3f} mm, within {timing.lift_u_mm:.3f} mm"
    word = str(decision.verdict)
    if word != "none":
        words = {"in": "in the window", "low": "too low", "high": "too high"}
        text += f": {words.get(word, word)}"
    if result.sweep.name:
        return f"{result.sweep.name}: {text}"
    return text[0].upper() + text[1:]


def _window(axes: Any, setup: Any) -> None:
    if not math.isnan(setup.lift_low_mm):
        axes.axhspan(setup.lift_low_mm, setup.lift_high_mm, color=_GREEN, alpha=0.18,
                     lw=0,
                     label=f"window {setup.lift_low_mm:g} to {setup.lift_high_mm:g} mm")


@_styled
def sweep(result: Any) -> Any:
    """A sweep with its fitted curve, window and verdict; residuals below.

    result: Assessment of assess(). Residuals count in graduations of the dial (0.01 mm
    where the setup does not know them).
    """
    np = _numpy()
    figure, (top, below) = _figure(2, (6.8, 5.6), sharex=True, height_ratios=[3, 1.3])
    crank, lift = np.asarray(result.sweep.crank_deg), _lifts(result)
    forward = _ways(result)
    known = not math.isnan(result.timing.lift_mm)
    _window(top, result.setup)
    if known:
        angles, curve = _curve(result)
        shown = angles <= crank.max() + 2.0
        # Before the foot, where the lobe before may still fall: what the fit says there.
        fitted = lift - _sense(result.setup) * np.asarray(result.residual_mm)
        before = np.flatnonzero(forward & (crank < angles[0]))
        before = before[np.argsort(crank[before], kind="stable")]
        top.plot(np.r_[crank[before], angles[shown]], np.r_[fitted[before], curve[shown]],
                 color="black", lw=1.2, label="fitted lift, coming forward")
    else:
        lift = np.asarray(result.sweep.dial_mm)
    for way, marker, colour, label in ((forward, "o", _BLUE, "readings, crank forward"),
                                       (~forward, "s", _ORANGE, "readings, crank back")):
        if way.any():
            face = colour if marker == "o" else "white"
            top.plot(crank[way], lift[way], marker, ms=4, color=colour, mfc=face,
                     label=label)
    if known:
        top.errorbar([0.0], [result.timing.lift_mm], yerr=[result.timing.lift_u_mm],
                     fmt="D", ms=6, color=_RED, capsize=4, lw=1.6, zorder=5,
                     label="lift at TDC, 95 %")
    top.axvline(0.0, color=_GREY, lw=0.8, ls=":")
    top.set_ylabel("lift from the minimum, mm" if known else "dial reading, mm")
    _title(top, _verdict(result))
    top.legend(loc="upper left", fontsize=8)
    step = result.setup.dial_step_mm
    step = 0.01 if math.isnan(step) or step <= 0.0 else step
    residual = np.asarray(result.residual_mm) / step
    below.axhspan(-0.5, 0.5, color=_GREY, alpha=0.15, lw=0)
    below.axhline(0.0, color="black", lw=0.8)
    limit = 2.0
    if known:
        limit = max(limit, 1.4 * float(np.nanpercentile(np.abs(residual), 90)))
    outside = np.abs(residual) > 0.9 * limit
    for way, marker, colour in ((forward & ~outside, "o", _BLUE),
                                (~forward & ~outside, "s", _ORANGE)):
        below.plot(crank[way], residual[way], marker, ms=4, color=colour,
                   mfc=colour if marker == "o" else "white")
    if outside.any():
        below.plot(crank[outside], np.clip(residual[outside], -0.9 * limit, 0.9 * limit),
                   "x", color=_RED, ms=7, mew=1.6)
        below.set_title(f"x: {int(outside.sum())} at or beyond the edge, the largest "
                        f"{np.nanmax(np.abs(residual)):.1f} graduations", loc="right",
                        fontsize=8, color=_RED)
    below.set_ylim(-limit, limit)
    below.set_ylabel(f"residual,\ngraduations\nof {step:g} mm")
    below.set_xlabel("crank angle, degrees (0: firing TDC; grey band: half a graduation)")
    return figure


@_styled
def slack_loop(result: Any) -> Any:
    """The slack of the drive: readings forward and back, and the way between them.

    result: Assessment of a sweep taken both ways.
    """
    np = _numpy()
    figure, axes = _figure(1, (6.6, 4.2))
    crank, lift = np.asarray(result.sweep.crank_deg), _lifts(result)
    forward = _ways(result)
    timing = result.timing
    axes.plot(crank, lift, "-", color=_GREY, lw=0.6, zorder=1)
    axes.plot(crank[forward], lift[forward], "o", ms=4, color=_BLUE,
              label="crank forward")
    axes.plot(crank[~forward], lift[~forward], "s", ms=4, color=_ORANGE, mfc="white",
              label="crank back")
    if not (math.isnan(timing.slack_crank_deg) or math.isnan(timing.lift_mm)):
        angles, curve = _curve(result)
        shown = angles <= crank.max() + 2.0
        axes.plot(angles[shown], curve[shown], color=_BLUE, lw=1.2)
        axes.plot(angles[shown] - timing.slack_crank_deg, curve[shown], "--",
                  color=_ORANGE, lw=1.2)
        height = 0.5 * min(float(lift.max()), float(curve.max()))
        at = float(np.interp(height, curve, angles))
        axes.annotate("", (at, height), (at - timing.slack_crank_deg, height),
                      arrowprops={"arrowstyle": "<->", "color": "black", "lw": 1.3,
                                  "shrinkA": 0, "shrinkB": 0})
        axes.annotate(f"slack {timing.slack_crank_deg:.2f} crank degrees,\nwithin "
                      f"{timing.slack_u_crank_deg:.2f}", (at, height), (14, -4),
                      textcoords="offset points", va="center", fontsize=8.5)
        _title(axes, "Going back, the crank first crosses the slack: come from behind")
    else:
        _title(axes, "Slack is not determined by this sweep")
    axes.set_xlabel("crank angle, degrees (0: firing TDC)")
    axes.set_ylabel("lift from the minimum, mm")
    axes.legend(loc="upper left")
    return figure


@_styled
def bars(names: Sequence[str], values: Sequence[float], *, unit: str,
         title: str = "") -> Any:
    """Named values as horizontal bars, each with its number."""
    figure, axes = _figure(1, (6.6, 0.9 + 0.42 * len(names)))
    places = range(len(names))
    axes.barh(list(places), values, color=_BLUE, height=0.62)
    axes.set_yticks(list(places), list(names))
    axes.invert_yaxis()
    axes.grid(visible=False, axis="y")
    for place, value in zip(places, values):
        axes.annotate(f"{value:.4g}", (value, place), (4, 0), textcoords="offset points",
                      va="center", fontsize=8)
    axes.margins(x=0.2)
    axes.set_xlabel(unit)
    _title(axes, title)
    return figure


@_styled
def budget(result: Any) -> Any:
    """The uncertainty of the lift at TDC by cause, as bars.

    result: Assessment or Timing.
    """
    parts = getattr(result, "timing", result).budget
    names = {"readings of dial and wheel": parts.readings_mm, "TDC mark": parts.tdc_mm,
             "hysteresis not shown": parts.hysteresis_mm,
             "shape of the cam": parts.cam_mm,
             "errors of the dial": parts.dial_mm,
             "degree wheel off centre": parts.wheel_mm}
    ordered = sorted(names.items(), key=lambda item: -item[1])
    figure = bars([name for name, _ in ordered] + ["together"],
                  [value for _, value in ordered] + [parts.total_mm],
                  unit="standard uncertainty of the lift at TDC, mm",
                  title=f"Weakest point: {ordered[0][0]}")
    figure.axes[0].patches[-1].set_color(_RED)
    return figure


@_styled
def rounds(setup: Any, job: Any) -> Any:
    """Rounds of a job converging on the window, and the next reading to aim at.

    setup: Setup. job: Job, or what plan_round() takes.
    """
    from ._work import _round
    records = [_round(item) for item in getattr(job, "rounds", job)]
    plan = _d.plan_round(setup, records)
    figure, axes = _figure(1, (6.6, 3.8))
    _window(axes, setup)
    places = list(range(1, len(records) + 1))
    lifts = [_sense(setup) * (record.tdc_mm - record.minimum_mm) for record in records]
    axes.plot(places, lifts, "-", color=_GREY, lw=0.8, zorder=1)
    for tight, marker, colour, label in ((False, "o", _ORANGE, "loose"),
                                         (True, "s", _BLUE, "tight")):
        mine = [k for k, record in enumerate(records) if bool(record.tight) == tight]
        if mine:
            axes.plot([places[k] for k in mine], [lifts[k] for k in mine], marker, ms=7,
                      color=colour, mfc=colour if tight else "white", mew=1.6, ls="none",
                      label=f"read, {label}")
    if not math.isnan(plan.lift_mm):
        axes.errorbar([places[-1] + 0.12], [plan.lift_mm], yerr=[plan.lift_u_mm], fmt="D",
                      color=_RED, capsize=4, lw=1.5, ms=5, label="true lift now, 95 %")
    if not math.isnan(plan.decision.aim_mm) and str(plan.decision.verdict) != "in":
        axes.plot([places[-1] + 1], [plan.decision.aim_mm], "*", ms=13, color="black",
                  ls="none", label=f"next aim, loose: {plan.decision.aim_mm:.3f} mm")
        places.append(places[-1] + 1)
    axes.set_xticks(places, [f"{r.round}\n{'tight' if r.tight else 'loose'}"
                             for r in records] + ["next"] * (len(places) - len(records)))
    axes.set_xlabel("round")
    axes.set_ylabel("lift at TDC by the readings, mm")
    _title(axes, plan.decision.verdict.text)
    axes.margins(y=0.15)
    axes.legend(fontsize=8, loc="best")
    return figure


@_styled
def lobes(result: Any, names: Iterable[str] | None = None) -> Any:
    """Timing of each lobe against equal spacing, with its uncertainty.

    result: Lobes of lobes_estimate(). names: names of the lobes, such as cylinders.
    """
    seen = result.lobe[:result.lobes]
    known = [k for k, lobe in enumerate(seen) if not math.isnan(lobe.advance_crank_deg)]
    figure, axes = _figure(1, (6.6, 3.6))
    places = list(range(1, len(seen) + 1))
    axes.axhline(0.0, color="black", lw=0.8)
    if known:
        axes.errorbar([places[k] for k in known],
                      [seen[k].advance_crank_deg for k in known],
                      yerr=[0.0 if math.isnan(seen[k].advance_u_crank_deg) else
                            seen[k].advance_u_crank_deg for k in known],
                      fmt="o", color=_BLUE, capsize=5, ms=7, lw=1.6)
    labels = list(names) if names is not None else [
        "1\n(timed)", *(str(place) for place in places[1:])]
    axes.set_xticks(places, labels)
    axes.set_xlabel("lobe, in the order in which they come")
    axes.set_ylabel("earlier than equal spacing,\ncrank degrees")
    if math.isnan(result.spread_crank_deg):
        _title(axes, "Lobes are not determined by this sweep")
    else:
        _title(axes,
               f"From the earliest lobe to the latest {result.spread_crank_deg:.2f} "
                       f"crank degrees, within {result.spread_u_crank_deg:.2f}")
    axes.margins(x=0.12, y=0.2)
    return figure


_CHANGES = {"READING": (0.01, "dial reading", "mm"),
            "TDC_MARK": (0.5, "TDC mark late by", "deg"),
            "SLACK": (0.5, "slack left in", "deg"),
            "SHIFT": (0.015, "shift on tightening", "mm"),
            "TILT": (5.0, "spindle tilted by", "deg"),
            "SCALE": (0.005, "dial scale off by", ""),
            "HYSTERESIS": (0.004, "dial hysteresis", "mm"),
            "STRETCH": (0.5, "advance by stretch", "crank deg"),
            "TEETH": (1.0, "tooth of the sprocket", ""), "RATIO": (0.0, "", ""),
            "WEAR": (0.02, "cam worn by", "")}


@_styled
def tornado(case: Any, changes: dict[str, float] | None = None) -> Any:
    """What each change does to the advance, the largest on top.

    case: Whatif of whatif_from_setup(). changes: name of a WhatifInput -> change to try
    either way; without it usual ones.
    """
    chosen = {name: step for name, (step, _, _) in _CHANGES.items() if step}
    if changes is not None:
        chosen = {name.upper(): step for name, step in changes.items()}
        for name in set(chosen) - set(_d.WhatifInput.__members__):
            raise ValueError(f"tornado(): changes: {name.lower()!r} is no input; there "
                             "are "
                             + ", ".join(map(str, _d.WhatifInput)))
    base = _d.whatif_evaluate(case).advance_crank_deg
    rows = []
    for name, step in chosen.items():
        ends = []
        for sign in (-1.0, 1.0):
            trial = case.copy()
            trial.input[_d.WhatifInput[name]].centre += sign * step
            try:
                ends.append(_d.whatif_evaluate(trial).advance_crank_deg - base)
            except _d.InputError:
                ends.append(math.nan)
        rows.append((name, step, ends))
    rows.sort(key=lambda row: max((abs(e) for e in row[2] if not math.isnan(e)),
                                  default=0.0))
    figure, axes = _figure(1, (7.0, 1.2 + 0.42 * len(rows)))
    sizes = [max((abs(e) for e in ends if not math.isnan(e)), default=0.0)
             for _, _, ends in rows]
    # One change that dwarfs the others is cut off, with its number beside it.
    edge = sizes[-1] if len(sizes) < 2 or sizes[-1] < 4.0 * sizes[-2] else 2.0 * sizes[-2]
    for place, (_, _, ends) in enumerate(rows):
        alike = len({round(end, 6) for end in ends}) == 1
        for value, colour, hatch in zip(ends, (_ORANGE, _BLUE), ("///", "")):
            if math.isnan(value) or (alike and colour == _ORANGE):
                continue
            length = max(-edge, min(edge, value))
            cut = " (cut off)" if length != value else ""
            axes.barh(place, length, height=0.6, color=colour, hatch=hatch,
                      edgecolor="white", lw=0.4)
            axes.annotate(f"{value:+.2f}{cut}", (length, place),
                          (4 if value >= 0 else -4, 0),
                          textcoords="offset points", va="center", fontsize=8,
                          ha="left" if value >= 0 else "right")
    axes.axvline(0.0, color="black", lw=0.8)
    axes.set_yticks(range(len(rows)), [
        " ".join(f"{_CHANGES[name][1]} ±{step:g} {_CHANGES[name][2]}".split())
        for name, step, _ in rows])
    axes.grid(visible=False, axis="y")
    axes.set_xlabel("change of advance, crank degrees (plain: +, hatched: −)")
    _title(axes, "What each change does to the timing")
    axes.margins(x=0.5 if edge < sizes[-1] else 0.2)
    return figure


@_styled
def cam(cam_: Any, points: int = 721) -> Any:
    """Lift, rate and acceleration of a cam over one lobe pitch."""
    np = _numpy()
    figure, axes = _figure(3, (6.6, 6.0), sharex=True)
    angles = np.linspace(0.0, 360.0 / cam_.lobes, points)
    for one, values, label, colour in zip(
            axes, (cam_.lift_mm(angles), cam_.rate_mm_per_deg(angles),
                   cam_.acceleration_mm_per_deg2(angles)),
            ("lift, mm", "rate,\nmm per pump degree",
             "acceleration,\nmm per pump degree²"),
            (_BLUE, _GREEN, _RED)):
        one.axhline(0.0, color="black", lw=0.6)
        one.plot(angles, values, color=colour, lw=1.6)
        one.set_ylabel(label)
    top = (cam_.rise_deg, cam_.rise_deg + cam_.top_dwell_deg,
           cam_.rise_deg + cam_.top_dwell_deg + cam_.fall_deg)
    for one in axes:
        for angle in top:
            one.axvline(angle, color=_GREY, lw=0.7, ls=":")
    law = str(cam_.law).replace("_", " ")
    _title(axes[0],
           f"{law} rise of {cam_.total_lift_mm:g} mm over {cam_.rise_deg:g} pump "
                      "degrees (dotted: ends of the segments)")
    axes[2].set_xlabel("pump angle from the foot of the rise, degrees")
    figure.align_ylabels(list(axes))
    return figure
