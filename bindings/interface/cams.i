/* SPDX-License-Identifier: GPL-3.0-or-later
 * The cam: laws, lift, measured cams, roller followers. */
DIALARC_ENUM(dialarc_law, Law)
DIALARC_ENUM(dialarc_flank, Flank)
DIALARC_RECORD(dialarc_unit_motion, UnitMotion)
DIALARC_RECORD(dialarc_law_peaks, LawPeaks)
DIALARC_RECORD(dialarc_scca, Scca)
DIALARC_RECORD(dialarc_arcs, Arcs)
DIALARC_RECORD(dialarc_cam, Cam)
DIALARC_HANDLE(dialarc_camtable, CamTable, dialarc_camtable_free)
DIALARC_RECORD(dialarc_cam_motion, CamMotion)
DIALARC_RECORD(dialarc_camwear, CamWear)
DIALARC_RECORD(dialarc_smoothing, Smoothing)
DIALARC_RECORD(dialarc_follower, Follower)
DIALARC_RECORD(dialarc_curvature, Curvature)
DIALARC_RECORD(dialarc_follower_survey, FollowerSurvey)

/* Here n is an argument like any other: how many points the table gets. */
%apply (size_t COUNT, void **RESULT) { (size_t n, dialarc_camtable **table) };

/* A cam owns a share of its table, and so does whatever holds a cam. */
%{
#include <stdlib.h>

static dialarc_camtable *darc_share(const dialarc_camtable *table)
{
    dialarc_camtable *shared = NULL;
    if (table)
        dialarc_camtable_share(table, &shared);
    return shared;
}

static void *darc_copy_cam(const dialarc_cam *cam, size_t size)
{
    dialarc_cam *copy = cam ? (dialarc_cam *)malloc(size) : NULL;
    if (copy) {
        *copy = *cam;
        darc_share(copy->lobe_table);
    }
    return copy;
}
%}
%newobject dialarc_cam::lobe_table;
%typemap(ret) const dialarc_camtable *lobe_table "darc_share($1);"
%typemap(memberin) const dialarc_camtable *lobe_table {
  dialarc_camtable *before = (dialarc_camtable *)$1;
  $1 = darc_share($input);
  dialarc_camtable_free(before);
}
#if !defined(SWIGPYTHON)
%{
static void darc_put_cam(dialarc_cam *place, const dialarc_cam *cam)
{
    dialarc_camtable *before = (dialarc_camtable *)place->lobe_table;
    *place = *cam;
    darc_share(cam->lobe_table);
    dialarc_camtable_free(before);
}
%}
#endif
#if defined(SWIGPYTHON)
%typemap(argout) dialarc_cam * {
  dialarc_cam *made = (dialarc_cam *)darc_copy_cam($1, sizeof *$1);
  if (!made) {
    PyErr_NoMemory();
    SWIG_fail;
  }
  $result = darpy_append($result, SWIG_NewPointerObj(made, $1_descriptor,
                                                     SWIG_POINTER_OWN));
}
%typemap(in) const dialarc_camtable *lobe_table (void *pointer = NULL) {
  if (!SWIG_IsOK(SWIG_ConvertPtr($input, &pointer, $1_descriptor, 0))) {
    darpy_complain(PyExc_TypeError, "$symname", "$1_name",
                   "a dialarc.CamTable or None is needed", $input);
    SWIG_fail;
  }
  $1 = (dialarc_camtable *)pointer;
}
#else
%typemap(argout) dialarc_cam * {
  darc_give_object(&frame, darc_copy_cam(&temp$argnum, sizeof temp$argnum),
                   DARC_TYPE($1_descriptor));
}
#endif
%extend dialarc_cam {
  ~dialarc_cam() {
    dialarc_camtable_free((dialarc_camtable *)$self->lobe_table);
    free($self);
  }
}

DIALARC_EACH_ALONE(dialarc_cam_lift_array)
DIALARC_EACH_ALONE(dialarc_cam_rate_array)
DIALARC_EACH_ALONE(dialarc_cam_acceleration_array)
DIALARC_EACH_ALONE(dialarc_cam_angle_at_lift_array)
DIALARC_UNLOCKED(dialarc_camtable_new)
DIALARC_UNLOCKED(dialarc_camtable_smooth)
DIALARC_UNLOCKED(dialarc_camtable_from_cam)
DIALARC_UNLOCKED(dialarc_camtable_from_scca)
DIALARC_UNLOCKED(dialarc_camtable_from_arcs)
DIALARC_EACH_ALONE(dialarc_timing_shift_advance)
DIALARC_EACH_ALONE(dialarc_timing_shift_lift)
DIALARC_EACH_ALONE(dialarc_camtable_lift_array)
DIALARC_EACH_ALONE(dialarc_camcompare_array)
DIALARC_UNLOCKED(dialarc_camcompare_summary)
DIALARC_EACH_ALONE(dialarc_follower_surface)
DIALARC_EACH_ALONE(dialarc_follower_pitch)
DIALARC_UNLOCKED(dialarc_follower_survey_cam)

%include <dialarc/law.h>
%include <dialarc/scca.h>
%include <dialarc/arcs.h>
%include <dialarc/cam.h>
%include <dialarc/camtable.h>
%include <dialarc/camsmooth.h>
%include <dialarc/tabled_cam.h>
%include <dialarc/timing_shift.h>
%include <dialarc/camcompare.h>
%include <dialarc/follower.h>
