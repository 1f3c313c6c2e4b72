# SPDX-License-Identifier: GPL-3.0-or-later
"""Memory of the library, as classes: measured cams, workspaces, tables."""
import array

from . import _core
from ._errors import InputError
from ._functions import (archive_add, archive_errors, archive_new, cam_from_table,
                          camcompare_summary, cams_count, cams_find, cams_get, cams_name,
                          camtable_angle_at_lift, camtable_lift_array, camtable_motion,
                          camtable_motion_sd, camtable_new, camtable_range,
                          camtable_smoothing, dialcal_count, dialcal_new, dialcal_point,
                          dialcal_range, dialcal_shown, dialcal_true, dials_calibrated_on,
                          dials_certificate, dials_count, dials_find, dials_name,
                          dials_share, jobs_count, jobs_get,
                          learned_cam_lobe, learned_cam_new, learned_cam_sd,
                          learned_cam_share, learned_cam_table, learned_cam_timing,
                          lifts_count,
                          rows_count, rows_line, rows_number, rows_text,
                          setups_count, setups_dial, setups_find, setups_get, setups_name,
                          setups_use_dials, sweep_buffer_new, sweeps_count, sweeps_get,
                          workspace_new)

__all__ = ["Archive", "CamTable", "Cams", "DialCal", "Dials", "Jobs", "LearnedCam",
           "Lifts", "Live", "Rows", "Setups", "SweepBuffer", "SweepReader", "Sweeps",
           "Workspace"]


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
    points = tuple(column.tobytes() if hasattr(column, "tobytes") else
                   array.array("d", column).tobytes() for column in (pump_deg, lift_mm))
    object.__setattr__(self, "_made_from", (points, float(period_deg)))


def _adopt(make):
    def init(self):
        self.this = make().this
    return init


def _restore_camtable(points, period_deg):
    return CamTable(*(array.array("d", data) for data in points), period_deg)


def _camtable_reduce(self):
    made_from = getattr(self, "_made_from", None)
    if made_from is None:
        raise TypeError("this CamTable does not hold its points; make it by "
                        "CamTable(...)")
    return (_restore_camtable, made_from)


def _camtable_same(self, other):
    """Whether both are the same table."""
    return int(self.this) == int(other.this) if isinstance(other, _core.CamTable) \
        else NotImplemented


def _camtable_hash(self):
    return hash(int(self.this))


CamTable = _make_handle(
    "CamTable", "A measured cam as a periodic curve.\n\nCamTable(pump_deg, lift_mm, "
    "period_deg): points, pump degrees and mm; the cam repeats after period_deg.",
    __init__=_camtable_init, __reduce__=_camtable_reduce,
    __text_signature__="(pump_deg, lift_mm, period_deg)",
    motion=camtable_motion, motion_sd=camtable_motion_sd, lift_mm=camtable_lift_array,
    angle_at_lift=camtable_angle_at_lift,
    cam=cam_from_table, __eq__=_camtable_same, __hash__=_camtable_hash,
    range=camtable_range, smoothing=camtable_smoothing, compare=camcompare_summary,
    period_deg=property(lambda self: camtable_range(self)[0], None, None,
                        "Pump degrees after which the cam repeats."))


def _dialcal_init(self, shown_mm, true_mm, u_mm=0.0):
    self.this = dialcal_new(shown_mm, true_mm, u_mm).this


def _dialcal_column(which):
    def column(self):
        return array.array("d", [dialcal_point(self, i)[which]
                                 for i in range(dialcal_count(self))])
    return column


_SHOWN, _TRUE = _dialcal_column(0), _dialcal_column(1)


def _dialcal_values(self):
    return _SHOWN(self), _TRUE(self), dialcal_range(self)[2]


def _dialcal_reduce(self):
    return (_restore_dialcal, _dialcal_values(self))


def _restore_dialcal(*values):
    return DialCal(*values)


def _dialcal_same(self, other):
    """Whether both have the same points and uncertainty."""
    return _dialcal_values(self) == _dialcal_values(other) \
        if isinstance(other, _core.DialCal) else NotImplemented


DialCal = _make_handle(
    "DialCal", "A calibration of a dial.\n\nDialCal(shown_mm, true_mm, u_mm): readings "
    "and the true travels found for them, mm, both rising, and their standard "
    "uncertainty.",
    __init__=_dialcal_init, __reduce__=_dialcal_reduce,
    __text_signature__="(shown_mm, true_mm, u_mm=0.0)", __len__=dialcal_count,
    __eq__=_dialcal_same, __hash__=None, range=dialcal_range, to_true=dialcal_true,
    to_shown=dialcal_shown,
    shown_mm=property(_SHOWN, None, None, "Its readings, mm."),
    true_mm=property(_TRUE, None, None, "The true travels there, mm."),
    u_mm=property(lambda self: dialcal_range(self)[2], None, None,
                  "Standard uncertainty of the travels, mm."))
Workspace = _make_handle(
    "Workspace", "Memory of the estimator: one for each thread.",
    __init__=_adopt(workspace_new), __text_signature__="()", __reduce__=_refuse_copy)


def _learned_init(self, setup, sweep, workspace=None):
    self.this = learned_cam_new(workspace, setup, sweep).this


def _learned_as_cam(self):
    """The lobe as a Cam, for every function that takes one."""
    return cam_from_table(learned_cam_table(self))


LearnedCam = _make_handle(
    "LearnedCam", "A cam learned from one sweep.\n\nLearnedCam(setup, sweep, workspace): "
    "from a sweep over the whole lobe, forward and back.",
    __init__=_learned_init, __reduce__=_refuse_copy,
    __text_signature__="(setup, sweep, workspace=None)",
    lobe=learned_cam_lobe, table=learned_cam_table, cam=_learned_as_cam,
    share=learned_cam_share, sd_mm=learned_cam_sd,
    timing=learned_cam_timing)
Lifts = _make_handle("Lifts", "A lifts table: see gauge_study().", __len__=lifts_count,
                     __reduce__=_refuse_copy)
Live = _make_handle("Live", "A sweep while it is taken: see LiveSweep.",
                    __reduce__=_refuse_copy)
Archive = _make_handle("Archive", "Sweeps of one shop, and what they tell of its "
                       "reading: see reading_errors().",
                       __init__=_adopt(archive_new), __text_signature__="()",
                       __reduce__=_refuse_copy, add=archive_add, errors=archive_errors)
SweepBuffer = _make_handle("SweepBuffer", "Memory of one sweep that is read.",
                           __init__=_adopt(sweep_buffer_new), __text_signature__="()",
                           __reduce__=_refuse_copy)
SweepReader = _make_handle("SweepReader",
                           "Reads sweeps one at a time: sweep_reader_new().",
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


def _named(what, count, name_of, get, find):
    """Members of a table whose rows have names: by name or number, in their order."""
    at = _item(count, get)

    def getitem(self, name):
        if not isinstance(name, str):
            return at(self, name)
        try:
            return get(self, find(self, name))
        except InputError:
            raise KeyError(name) from None

    def keys(self):
        return [name_of(self, i) for i in range(count(self))]

    def values(self):
        return [get(self, i) for i in range(count(self))]

    def items(self):
        return list(zip(keys(self), values(self)))

    keys.__doc__ = f"Names of the {what} in the order of the table."
    values.__doc__ = f"The {what} in the order of the table."
    items.__doc__ = f"Pairs of name and {what[:-1]} in the order of the table."
    return {"__len__": lambda self: count(self),
            "__iter__": lambda self: iter(keys(self)),
            "__contains__": lambda self, name: name in keys(self), "__getitem__": getitem,
            "keys": keys, "values": values, "items": items, "__reduce__": _refuse_copy}


def _setups_to_dict(self):
    """The table as a dict of columns."""
    rows = [{"setup": name, **setup.to_dict(), "dial": setups_dial(self, i)}
            for i, (name, setup) in enumerate(self.items())]
    return {column: [row[column] for row in rows] for column in rows[0]}


Setups = _make_handle(
    "Setups", "A setups table: by name or number, in the order of the table.",
    to_dict=_setups_to_dict, use_dials=setups_use_dials,
    **_named("setups", setups_count, setups_name, setups_get, setups_find))
Cams = _make_handle(
    "Cams", "A cams table: by name or number, in the order of the table.",
    **_named("cams", cams_count, cams_name, cams_get, cams_find))


def _dial_text(get):
    def text(self, name):
        return get(self, dials_find(self, name) if isinstance(name, str) else name)
    return text


Dials = _make_handle(
    "Dials", "A dials table: calibrations by name or number, in the order of the table.",
    certificate=_dial_text(dials_certificate),
    calibrated_on=_dial_text(dials_calibrated_on),
    **_named("dials", dials_count, dials_name, dials_share, dials_find))
def _of_row(get):
    return lambda self, index, column: get(self, index, column)


Rows = _make_handle(
    "Rows", "A table of columns that read_rows() was asked for.",
    __len__=lambda self: rows_count(self), number=_of_row(rows_number),
    text=_of_row(rows_text), line=lambda self, index: rows_line(self, index),
    __reduce__=_refuse_copy)
Sweeps = _make_handle(
    "Sweeps", "All sweeps of a table.", __len__=lambda self: sweeps_count(self),
    __iter__=lambda self: (sweeps_get(self, i) for i in range(sweeps_count(self))),
    __getitem__=_item(sweeps_count, sweeps_get), __reduce__=_refuse_copy)
Jobs = _make_handle(
    "Jobs", "All jobs of a rounds table.", __len__=lambda self: jobs_count(self),
    __iter__=lambda self: (jobs_get(self, i) for i in range(jobs_count(self))),
    __getitem__=_item(jobs_count, jobs_get), __reduce__=_refuse_copy)
