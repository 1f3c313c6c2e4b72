# SPDX-License-Identifier: GPL-3.0-or-later
"""The daily work: tables in, sweeps assessed, rounds planned."""
from __future__ import annotations

import csv
import io
import math
import os
import threading
import typing
from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from typing import Any, Callable, Union

from . import _c
from ._records import Job, Sweep

StrPath = Union[str, "os.PathLike[str]"]
Source = Any

_thread = threading.local()


def _workspace() -> Any:
    """The workspace of this thread."""
    if not hasattr(_thread, "workspace"):
        _thread.workspace = _c.Workspace()
    return _thread.workspace


class NextStep(typing.NamedTuple):
    """A step of what to do next.

    number: counts from 1; 0: belongs to the step before. code: a StepCode. text: the
    sentences. step: the Step with its numbers.
    """

    number: int
    code: Any
    text: str
    step: Any


def _steps(setup: Any, take: Callable[..., Any], *judged: Any) -> list[NextStep]:
    steps: list[NextStep] = []
    while (step := take(setup, *judged, len(steps))).code != _c.StepCode.NONE:
        steps.append(NextStep(step.number, step.code, _c.step_text(setup, step), step))
    return steps


class Assessment:
    """What a sweep says about the setting, and what follows from it.

    setup, sweep: what it was made from. timing: Timing. decision: Decision.
    residual_mm: difference of each reading from the fitted curve, mm.

    Every field of timing and decision is an attribute here too: `a.lift_mm`,
    `a.lift_u_mm`, `a.verdict`, `a.turn_pump_deg`, `a.findings`, ...
    """

    _parts = ("setup", "sweep", "timing", "decision", "residual_mm")

    def __init__(self, setup: Any, sweep: Sweep, timing: Any, decision: Any,
                 residual_mm: Any) -> None:
        self.setup = setup
        self.sweep = sweep
        self.timing = timing
        self.decision = decision
        self.residual_mm = residual_mm

    def __getattr__(self, name: str) -> Any:
        if not name.startswith("_") and "timing" in self.__dict__:
            for part in (self.timing, self.decision):
                if name in part._fields:
                    return getattr(part, name)
        raise AttributeError(f"an Assessment has no attribute {name!r}")

    def __dir__(self) -> Iterable[str]:
        return [*super().__dir__(), *self.timing._fields, *self.decision._fields]

    def to_dict(self) -> dict[str, Any]:
        """One row of the results table, and more: plain data by column."""
        row: dict[str, Any] = {
            "sweep": self.sweep.name, "setup": self.sweep.setup_name,
            "verdict": _c.verdict_name(self.decision.verdict)}
        row.update({key: value for key, value in self.timing.to_dict().items()
                    if key not in ("budget", "rise_mm", "findings")})
        row.update({f"budget_{key}": value
                    for key, value in self.timing.budget.to_dict().items()})
        row.update({key: value for key, value in self.decision.to_dict().items()
                    if key != "verdict"})
        row["findings"] = ";".join(self.timing.findings.codes())
        row["severity"] = self.severity
        if self.decision.verdict == _c.Verdict.UNUSABLE:
            row["lift_mm"] = row["lift_u_mm"] = math.nan
        return row

    @property
    def severity(self) -> str:
        """The worst finding as in the results table: "", "note", "caution" or "stop"."""
        findings = self.timing.findings
        return str(_c.severity_name(_c.findings_worst(findings))) if len(findings) else ""

    def line(self) -> str:
        """The row of the results table, with its newline."""
        return str(_c.result_format(self.sweep.name, self.timing, self.decision))

    def next_steps(self) -> list[NextStep]:
        """What to do next, step by step, in words for the mechanic: as next_steps()."""
        return _steps(self.setup, _c.next_step, self.timing, self.decision)

    def __repr__(self) -> str:
        name = f"{self.sweep.name!r}: " if self.sweep.name else ""
        if math.isnan(self.timing.lift_mm):
            lift = "lift not known"
        else:
            lift = f"lift {self.timing.lift_mm:.3f} +- {self.timing.lift_u_mm:.3f} mm"
        verdict = _c.verdict_name(self.decision.verdict)
        verdict = f", {verdict}" if verdict else ""
        if verdict and not math.isnan(self.decision.probability_in):
            verdict += f" (in the window: {100 * self.decision.probability_in:.1f} %)"
        codes = ", ".join(self.timing.findings.codes())
        return f"<Assessment {name}{lift}{verdict}{'; ' + codes if codes else ''}>"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Assessment):
            return NotImplemented
        return all(getattr(self, part) == getattr(other, part)
                   for part in self._parts[:4])

    __hash__ = None  # type: ignore

    def __reduce__(self) -> tuple[Any, ...]:
        return (Assessment, tuple(getattr(self, part) for part in self._parts))


def assess_sweep(setup: Any, sweep: Sweep) -> Assessment:
    """Assess a Sweep: as assess(), from a record that has been read."""
    residual_mm, timing = _c.timing_estimate(_workspace(), setup, sweep)
    return Assessment(setup, sweep, timing, _c.decision_judge(setup, timing), residual_mm)


def assess(setup: Any, crank_deg: Any, dial_mm: Any, direction: Any = None, *,
           name: str = "") -> Assessment:
    """What a dial sweep says about the setting, and the decision.

    Arguments:
        setup: Setup with what is known; only `lobes` must be. With lift_low_mm and
            lift_high_mm there is a verdict.
        crank_deg: crank angles of the readings, degrees, in the order taken; 0 is firing
            TDC, positive in running direction.
        dial_mm: dial readings, mm, sign as shown, as many.
        direction: None: found from the order; else "with" or "against" for each reading.
        name: a name for the sweep.

    Arrays of float64 (NumPy, array.array, anything with the buffer protocol) are used
    where they are, lists are copied. Other threads run while the estimator works.

    Result: an Assessment: `.lift_mm` and its expanded uncertainty `.lift_u_mm` (95 %),
        `.verdict`, `.probability_in`, `.turn_pump_deg`, `.aim_mm`, `.findings`,
        `.residual_mm`, `.timing`, `.decision`, `.to_dict()`. What the sweep does not
        determine is NaN, and a finding says why.

    Raises InputError (a ValueError) for values out of range, with the status and its
    sentence; TypeError for what is no array of numbers.

    In C: dialarc_assess()

    >>> import dialarc
    >>> setup = dialarc.Setup(lobes=4, lift_low_mm=0.86, lift_high_mm=0.90,
    ...                       tdc_sd_deg=0.08)
    >>> dialarc.assess(setup, crank_deg, dial_mm)       # doctest: +SKIP
    <Assessment lift 0.877 +- 0.011 mm, in (in the window: 99.9 %)>
    """
    return assess_sweep(setup, Sweep(crank_deg, dial_mm, direction, name=name))


def _open(source: Source, load: Callable[..., Any], read: Callable[..., Any],
          *more: Any) -> Any:
    """A table from a path, from bytes, or from a file open in binary mode."""
    if not isinstance(source, (str, os.PathLike)):
        return read(source, *more)
    try:
        return load(source, *more)
    except (_c.TableError, _c.FileError) as error:
        error.args = (f"{os.fspath(source)}: {error.args[0]}",)
        raise


def read_setups(source: Source) -> Any:
    """Reads a setups table: one row per engine.

    source: path of a CSV file, its bytes, or a file open in binary mode.

    Result: Setups: `setups["name"]` is a Setup, `len(setups)`, `for name in setups`,
        `setups.items()`, `setups.to_dict()` (columns).

    Raises TableError with `line`, `row` and `column_name` when the table cannot be used,
    FileError when there is no such file.
    """
    return _open(source, _c.setups_load, _c.setups_read)


def _setups_for(source: Source) -> tuple[Any, Any]:
    """Setups by the names in a sweeps table, nothing known of them, and its bytes."""
    if isinstance(source, (str, os.PathLike)):
        try:
            with open(source, "rb") as file:
                data = file.read()
        except OSError as error:
            raise _c.FileError(f"read_sweeps(): source: {error}", _c.Status.ERR_FILE,
                               "read_sweeps", "source") from error
    else:
        data = bytes(source.read() if hasattr(source, "read") else source)
    rows = csv.reader(io.StringIO(data.decode("utf-8-sig", "replace"), newline=""))
    header = [field.strip().lower() for field in next(rows, [])]
    if "pump_deg" in header:
        raise ValueError("read_sweeps(): setups: needed for a table with pump_deg")
    names = {"": None}
    if "setup" in header:
        at = header.index("setup")
        names = dict.fromkeys(row[at].strip() for row in rows if len(row) > at)
    named = [name for name in names if name] or ["none"]
    out = io.StringIO()
    csv.writer(out).writerows([["setup", "lobes"], *([name, 1] for name in named)])
    return _c.setups_read(out.getvalue().encode()), data


def read_sweeps(source: Source, setups: Any = None) -> list[Sweep]:
    """Reads a sweeps table: one row per reading in the order taken.

    source: path of a CSV file, its bytes, or a file open in binary mode.
    setups: Setups of read_setups(). Then each Sweep holds its Setup, and sweeps by
        pump_deg can be read. Without, `sweep.setup` is None and `sweep.setup_name` says
        which setup is meant.

    Result: list of Sweep in the order of the table.

    Raises TableError with `line`, `row` and `column_name` when the table cannot be used.
    """
    known = setups
    if setups is None:
        known, source = _setups_for(source)
    sweeps = _open(source, _c.sweeps_load, _c.sweeps_read, known)
    return [_named(sweep, known, setups) for sweep in sweeps]


def _named(sweep: Sweep, known: Any, setups: Any) -> Sweep:
    sweep.setup_name = _c.setups_name(known, sweep.setup_index)
    if setups is None:
        sweep.setup = None
    return sweep


def iter_sweeps(source: Any, setups: Any) -> Iterator[Sweep]:
    """Reads a sweeps table one sweep at a time: memory does not grow with the file.

    source: bytes, or a file open in binary mode. setups: Setups of read_setups().
    """
    reader = _c.sweep_reader_new(source, setups)
    buffer = _c.SweepBuffer()
    while True:
        sweep = _c.sweep_reader_next(reader, buffer)
        if sweep is None:
            return
        yield _named(sweep, setups, setups)


def read_rounds(source: Source, setups: Any) -> list[Job]:
    """Reads a rounds table: settings without a degree wheel.

    source: path of a CSV file, its bytes, or a file open in binary mode.
    setups: Setups of read_setups().

    Result: list of Job, each with its name, Setup and rounds.
    """
    jobs = list(_open(source, _c.jobs_load, _c.jobs_read, setups))
    for job in jobs:
        job.setup_name = _c.setups_name(setups, job.setup_index)
    return jobs


def read_cams(source: Source) -> Any:
    """Reads a cams table: cams that were learned or measured, for reuse_estimate().

    source: path of a CSV file, its bytes, or a file open in binary mode.

    Result: Cams: `cams["name"]` is a CamRecord with its curve as `.table` and its
        uncertainty as `.cam_sd_mm`, `len(cams)`, `for name in cams`, `cams.items()`.

    Raises TableError with `line`, `row` and `column_name` when the table cannot be used.
    """
    return _open(source, _c.cams_load, _c.cams_read)


def read_dials(source: Source) -> Any:
    """Reads a dials table: calibrations, which `setups.use_dials(dials)` applies.

    source: path of a CSV file, its bytes, or a file open in binary mode.

    Result: Dials: `dials["name"]` is a DialCal with `shown_mm`, `true_mm` and `u_mm`;
        `dials.certificate("name")`, `len(dials)`, `for name in dials`, `dials.items()`.

    Raises TableError with `line`, `row` and `column_name` when the table cannot be used.
    """
    return _open(source, _c.dials_load, _c.dials_read)


def read_rows(source: Source, columns: str) -> Any:
    """Reads a table whose columns the caller names, in every dialect of the others.

    source: path of a CSV file, its bytes, or a file open in binary mode.
    columns: names with spaces between; a ! behind one says that it must be there and
        never blank: "block_mm! shown_mm! way". Those that end in _mm, _deg, _rpm or _ms
        hold numbers, the others text.

    Result: Rows: `len(rows)`, `rows.number(0, "block_mm")`, nan where it is blank,
        `rows.text(0, "way")`, and `rows.line(0)`, the line of the file.

    Raises TableError with `line`, `row` and `column_name` when the table cannot be used.
    """
    return _open(source, _c.rows_load, _c.rows_read, columns)


def _setup_of(sweep: Sweep, setups: Any) -> Any:
    if sweep.setup is not None:
        return sweep.setup
    if isinstance(setups, _c.Setup):
        return setups
    if setups is not None:
        if sweep.setup_name and sweep.setup_name in setups:
            return setups[sweep.setup_name]
        if not sweep.setup_name and len(setups) == 1:
            return next(iter(setups.values()))
    raise ValueError(f"assess_all(): setups: none is called {sweep.setup_name!r} "
                     f"(sweep {sweep.name!r})")


def _columns(assessments: list[Assessment]) -> dict[str, Any]:
    rows = [assessment.to_dict() for assessment in assessments]
    names = list(rows[0]) if rows else []
    columns: dict[str, Any] = {}
    for name in names:
        values = [row[name] for row in rows]
        if isinstance(values[0], float):
            column = _c._make_array(None, (len(values),))
            for i, value in enumerate(values):
                column[i] = value
            columns[name] = column
        else:
            columns[name] = values
    return columns


def assess_each(sweeps: Iterable[Sweep], setups: Any = None, *,
                threads: int | None = None,
                progress: Callable[[int, int], object] | None = None) -> list[Assessment]:
    """Assesses sweeps and returns an Assessment for each, in their order.

    Arguments as for assess_all().
    """
    work = [(_setup_of(sweep, setups), sweep) for sweep in list(sweeps)]
    count = threads if threads is not None else os.cpu_count() or 1
    if count < 1:
        raise ValueError("threads: at least 1 is needed")
    results: list[Assessment] = []

    def report() -> None:
        if progress is not None and progress(len(results), len(work)) is False:
            raise _c.Cancelled("assess_all(): progress asked to stop",
                               _c.Status.ERR_CANCELLED, "assess_all", "progress")

    if count == 1 or len(work) < 2:
        for setup, sweep in work:
            results.append(assess_sweep(setup, sweep))
            report()
        return results
    with ThreadPoolExecutor(min(count, len(work))) as pool:
        futures = [pool.submit(assess_sweep, setup, sweep) for setup, sweep in work]
        try:
            for future in futures:
                results.append(future.result())
                report()
        finally:
            for future in futures:
                future.cancel()
    return results


def assess_all(setups: Mapping[str, Any] | Any, sweeps: Iterable[Sweep], *,
               threads: int | None = None,
               progress: Callable[[int, int], object] | None = None) -> dict[str, Any]:
    """Assesses many sweeps; the result is a dict of columns, one entry a sweep.

    Arguments:
        setups: Setups of read_setups(), a dict of Setup by name, or one Setup; used for
            the sweeps that do not hold their own (read without setups).
        sweeps: Sweep records, as of read_sweeps().
        threads: how many work at once; None: as many as the machine has. The result does
            not depend on it.
        progress: called as progress(done, total) from time to time and at the end, in
            this thread; returning False stops the work with Cancelled, an exception with
            that exception.

    Result: columns as of the results table and more (`sweep`, `setup`, `verdict`,
        `lift_mm`, `lift_u_mm`, ..., `findings`); `pandas.DataFrame(columns)` takes them.
        A sweep that cannot be used has the verdict "unusable" and NaN, with its findings.

    Raises ValueError when a sweep's setup is not known; InputError for a setup or sweep
    that the library refuses.
    """
    work = [(_setup_of(sweep, setups), sweep) for sweep in list(sweeps)]
    if threads is not None and threads < 1:
        raise ValueError("threads: at least 1 is needed")
    stopped: list[bool] = []

    def hear(done: int, total: int) -> object:
        if progress is not None and progress(done, total) is False:
            stopped.append(True)
            return False
        return None

    results = _c.batch_assess([setup for setup, _ in work], [sweep for _, sweep in work],
                              threads or 0, hear)
    if stopped:
        raise _c.Cancelled("assess_all(): progress asked to stop",
                           _c.Status.ERR_CANCELLED, "assess_all", "progress")
    assessments = []
    for (setup, sweep), (status, timing, decision) in zip(work, results):
        if status < 0:
            assess_sweep(setup, sweep)  # raises, and names what is refused
        assessments.append(Assessment(setup, sweep, timing, decision, None))
    return _columns(assessments)


def plan_round(setup: Any, rounds: Job | Iterable[Any]) -> Any:
    """Verdict of the latest setting without a degree wheel, and the next aim.

    Arguments:
        setup: Setup with window and dial.
        rounds: the rounds so far in the order of the work: a Job, or Round records, or
            tuples (round, minimum_mm, tdc_mm, tight); tight is True or False, or "tight"
            or "loose".

    Result: Plan: `.lift_mm`, `.lift_u_mm`, `.decision.verdict`, `.decision.aim_mm` (the
        reading, TDC less minimum, that the next loose setting should show), `.shift_mm`
        (expected change on tightening), `.findings`.

    >>> import dialarc
    >>> setup = dialarc.Setup(lobes=4, lift_low_mm=0.88, lift_high_mm=0.92)
    >>> plan = dialarc.plan_round(
    ...     setup, [(1, 0.0, 0.78, "loose"), (1, 0.0, 0.765, "tight")])
    >>> plan.decision.verdict
    <Verdict.LOW: 2>
    """
    if isinstance(rounds, Job):
        rounds = rounds.rounds
    if rounds is None or isinstance(rounds, (str, bytes)):
        raise TypeError("plan_round(): rounds: a list is needed, not "
                        + type(rounds).__name__)
    return _c.plan_rounds(setup, [_round(item) for item in rounds])


def _round(item: Any) -> Any:
    if isinstance(item, _c.Round):
        return item
    try:
        number, minimum_mm, tdc_mm, tight = item
    except (TypeError, ValueError):
        raise TypeError("plan_round(): rounds: tuples (round, minimum_mm, tdc_mm, tight) "
                        f"are needed, not {item!r}") from None
    if isinstance(tight, str):
        if tight not in ("tight", "loose"):
            raise ValueError(f"plan_round(): rounds: {tight!r} is neither 'tight' nor "
                             "'loose'")
        tight = tight == "tight"
    return _c.Round(number, minimum_mm, tdc_mm, int(tight))


def next_steps(setup: Any, plan: Any) -> list[NextStep]:
    """What to do next after a round without a degree wheel; after a sweep, an
    Assessment has `.next_steps()`.

    Arguments:
        setup: the Setup of the job.
        plan: what plan_round() said.

    Result: list of NextStep, in the order of the work.

    In C: dialarc_next_round_step(), dialarc_step_text()

    >>> import dialarc
    >>> setup = dialarc.Setup(lobes=4, lift_low_mm=0.86, lift_high_mm=0.90)
    >>> plan = dialarc.plan_round(setup, [(1, 0.0, 0.80, "loose")])
    >>> dialarc.next_steps(setup, plan)[-1].code
    <StepCode.TIGHTEN: 11>
    """
    return _steps(setup, _c.next_round_step, plan)


class Consequence(typing.NamedTuple):
    """What changes do to a setting.

    lift_mm, advance_crank_deg: by how much lift at TDC and advance change. before, after:
    both Outcomes. case: the Whatif with the changes in it, for further ones.
    """

    lift_mm: float
    advance_crank_deg: float
    before: Any
    after: Any
    case: Any


def what_if(case: Any, **changes: float) -> Consequence:
    """What one or more changes do to lift at TDC and advance.

    Arguments:
        case: a Setup whose cam and window are known, or a Whatif.
        changes: inputs by their names in whatif_name(), and by how much each changes in
            the unit that its name ends in.

    Result: Consequence: `.lift_mm` and `.advance_crank_deg` are the changes that follow,
        `.before` and `.after` the settings.

    >>> import dialarc
    >>> setup = dialarc.Setup(lobes=4, lift_low_mm=0.88, lift_high_mm=0.92,
    ...                       cam_law="harmonic", cam_lift_mm=2.2, rise_deg=40,
    ...                       top_dwell_deg=0, base_dwell_deg=5)
    >>> dialarc.what_if(setup, tdc_mark_crank_deg=0.5).advance_crank_deg
    -0.5
    """
    if isinstance(case, _c.Setup):
        case = _c.whatif_from_setup(case)
    changed = case
    for name, change in changes.items():
        changed = _c.whatif_change(changed, name, change)
    before, after = _c.whatif_evaluate(case), _c.whatif_evaluate(changed)
    return Consequence(after.lift_mm - before.lift_mm,
                  after.advance_crank_deg - before.advance_crank_deg,
                  before, after, changed)
