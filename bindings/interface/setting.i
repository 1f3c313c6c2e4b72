/* SPDX-License-Identifier: GPL-3.0-or-later
 * The setting: what is known, the sweep, its timing, the decision, the rounds. */
DIALARC_ENUM(dialarc_finding, Finding)
DIALARC_ENUM(dialarc_severity, Severity)
DIALARC_ENUM(dialarc_rotation, Rotation)
DIALARC_ENUM(dialarc_window_at, WindowAt)
DIALARC_ENUM(dialarc_turned, Turned)
DIALARC_ENUM(dialarc_turn_back, TurnBack)
DIALARC_ENUM(dialarc_firing_tdc, FiringTdc)
DIALARC_ENUM(dialarc_direction, Direction)
DIALARC_ENUM(dialarc_verdict, Verdict)
DIALARC_ENUM(dialarc_advice, Advice)
DIALARC_ENUM(dialarc_prospect, Prospect)
DIALARC_ENUM(dialarc_heard, Heard)
DIALARC_ENUM(dialarc_step_code, StepCode)
DIALARC_RECORD(dialarc_findings, Findings)
DIALARC_RECORD(dialarc_setup, Setup)
#if defined(SWIGPYTHON)
%typemap(argout) dialarc_setup * {
  dialarc_setup *made = (dialarc_setup *)darc_copy_setup($1, sizeof *$1);
  if (!made) {
    PyErr_NoMemory();
    SWIG_fail;
  }
  $result = darpy_append($result, SWIG_NewPointerObj(made, $1_descriptor,
                                                     SWIG_POINTER_OWN));
}
#else
%typemap(argout) dialarc_setup * {
  darc_give_object(&frame, darc_copy_setup(&temp$argnum, sizeof temp$argnum),
                   DARC_TYPE($1_descriptor));
}
#endif
%extend dialarc_setup {
  ~dialarc_setup() {
    dialarc_dialcal_free((dialarc_dialcal *)$self->dial_calibration);
    free($self);
  }
}
DIALARC_BORROWING(dialarc_sweep)
DIALARC_RECORD(dialarc_minimum, Minimum)
DIALARC_RECORD(dialarc_midpoints, Midpoints)
DIALARC_RECORD(dialarc_budget, Budget)
DIALARC_RECORD(dialarc_timing, Timing)
DIALARC_HANDLE(dialarc_workspace, Workspace, dialarc_workspace_free)
DIALARC_HANDLE(dialarc_learned_cam, LearnedCam, dialarc_learned_cam_free)
DIALARC_RECORD(dialarc_decision, Decision)
DIALARC_RECORD(dialarc_look, Look)
DIALARC_LIST(dialarc_look, looks)
DIALARC_RECORD(dialarc_joint, Joint)
DIALARC_RECORD(dialarc_witness, Witness)
DIALARC_LIST(dialarc_witness, witness)
DIALARC_RECORD(dialarc_crosscheck, Crosscheck)
DIALARC_RECORD(dialarc_at_rest, AtRest)
DIALARC_RECORD(dialarc_round, Round)
DIALARC_LIST(dialarc_round, rounds)
DIALARC_RECORD(dialarc_plan, Plan)
DIALARC_RECORD(dialarc_step, Step)
DIALARC_RECORD(dialarc_reach, Reach)
DIALARC_RECORD(dialarc_expectation, Expectation)
DIALARC_RECORD(dialarc_next, Next)
DIALARC_RECORD(dialarc_taken, Taken)
DIALARC_HANDLE(dialarc_live, Live, dialarc_live_free)
DIALARC_INDEX(dialarc_live_line)
DIALARC_HANDLE(dialarc_archive, Archive, dialarc_archive_free)
DIALARC_RECORD(dialarc_reading_errors, ReadingErrors)
DIALARC_RECORD(dialarc_gauge_lift, GaugeLift)
DIALARC_LIST(dialarc_gauge_lift, lifts)
DIALARC_RECORD(dialarc_gauge_line, GaugeLine)
DIALARC_RECORD(dialarc_component, Component)
DIALARC_RECORD(dialarc_gauge_study, GaugeStudy)
DIALARC_RECORD(dialarc_gauge_window, GaugeWindow)
DIALARC_RECORD(dialarc_lobe, Lobe)
DIALARC_RECORD(dialarc_lobes, Lobes)

%apply const double *OPTIONAL { const double *sd_mm, const double *height_mm };
%immutable dialarc_timing::budget;
%immutable dialarc_timing::findings;
%immutable dialarc_joint::budget;
%immutable dialarc_joint::findings;
%immutable dialarc_plan::decision;
%immutable dialarc_plan::findings;
%immutable dialarc_expectation::budget;
%immutable dialarc_expectation::findings;
%immutable dialarc_gauge_study::by_engine;
%immutable dialarc_gauge_study::by_hand;
%immutable dialarc_gauge_study::by_both;
%immutable dialarc_gauge_study::within;
%immutable dialarc_gauge_study::engine;
%immutable dialarc_gauge_study::hand;
%immutable dialarc_gauge_study::engine_hand;
%immutable dialarc_gauge_study::repetition;
%immutable dialarc_gauge_study::repeatability;
%immutable dialarc_gauge_study::reproducibility;
%immutable dialarc_lobes::lobe;
%immutable dialarc_lobes::findings;

DIALARC_UNLOCKED(dialarc_assess)
DIALARC_UNLOCKED(dialarc_timing_estimate)
DIALARC_UNLOCKED(dialarc_learned_cam_new)
/* n points of a learned cam: n is an argument, both arrays are results. */
%apply (size_t COUNT, double *FIRST, double *SECOND) {
  (size_t n, double *pump_deg, double *lift_mm)
};

/* n angles of a plan likewise. */
%apply (size_t COUNT, double *FIRST) { (size_t n, double *plan_crank_deg) };

%apply (int COUNT, const int *LIST) { (int lobes, const int *firing_order) };
%apply int *LISTED { int *cylinder, int *outlet };

DIALARC_UNLOCKED(dialarc_lobes_estimate)
DIALARC_UNLOCKED(dialarc_reuse_estimate)
DIALARC_UNLOCKED(dialarc_decision_judge)
DIALARC_UNLOCKED(dialarc_joint_assess)
DIALARC_UNLOCKED(dialarc_design_expect)
DIALARC_UNLOCKED(dialarc_design_choose)
DIALARC_UNLOCKED(dialarc_design_next)
DIALARC_UNLOCKED(dialarc_archive_add)
DIALARC_UNLOCKED(dialarc_gauge_assess)
DIALARC_UNLOCKED(dialarc_live_timing)
DIALARC_UNLOCKED(dialarc_live_next)
DIALARC_UNLOCKED(dialarc_minimum_fit)
DIALARC_UNLOCKED(dialarc_minimum_shape)

%include <dialarc/finding.h>
%include <dialarc/setup.h>
%include <dialarc/sweep.h>
%include <dialarc/minimum.h>
%include <dialarc/workspace.h>
%include <dialarc/timing.h>
%include <dialarc/advice.h>
%include <dialarc/decision.h>
%include <dialarc/assess.h>
%include <dialarc/archive.h>
%include <dialarc/learned_cam.h>
%include <dialarc/reuse.h>
%include <dialarc/lobes.h>
%include <dialarc/joint.h>
%include <dialarc/rounds.h>
%include <dialarc/next_steps.h>
%include <dialarc/design.h>
%include <dialarc/live.h>
%include <dialarc/gaugestudy.h>
%include <dialarc/crosscheck.h>
