/* SPDX-License-Identifier: GPL-3.0-or-later
 * The cam: laws, lift, measured cams, roller followers. */
DIALARC_ENUM(dialarc_law, Law)
DIALARC_ENUM(dialarc_flank, Flank)
DIALARC_RECORD(dialarc_unit_motion, UnitMotion)
DIALARC_RECORD(dialarc_law_peaks, LawPeaks)
DIALARC_RECORD(dialarc_scca, Scca)
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

DIALARC_UNLOCKED(dialarc_cam_lift_array)
DIALARC_UNLOCKED(dialarc_cam_rate_array)
DIALARC_UNLOCKED(dialarc_cam_acceleration_array)
DIALARC_UNLOCKED(dialarc_cam_angle_at_lift_array)
DIALARC_UNLOCKED(dialarc_camtable_new)
DIALARC_UNLOCKED(dialarc_camtable_smooth)
DIALARC_UNLOCKED(dialarc_camtable_from_cam)
DIALARC_UNLOCKED(dialarc_camtable_lift_array)
DIALARC_UNLOCKED(dialarc_camcompare_array)
DIALARC_UNLOCKED(dialarc_camcompare_summary)
DIALARC_UNLOCKED(dialarc_follower_surface)
DIALARC_UNLOCKED(dialarc_follower_pitch)
DIALARC_UNLOCKED(dialarc_follower_survey_cam)

%include <dialarc/law.h>
%include <dialarc/scca.h>
%include <dialarc/cam.h>
%include <dialarc/camtable.h>
%include <dialarc/camsmooth.h>
%include <dialarc/camcompare.h>
%include <dialarc/follower.h>
