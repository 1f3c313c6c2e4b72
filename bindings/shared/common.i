/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lua, Octave, Java and C#: typemaps behind the macros and patterns of dialarc.i, as far
 * as they are alike. Results are gathered in the `frame` of the call (frame.h); the files
 * of the language say how arrays go in, how results come out and how errors are raised:
 *
 *   typemaps in and freearg for `const double *`, (int COUNT, const int *LIST) and, by
 *   DARC_LIST(type, name), for lists of structs; out for dialarc_status, which raises;
 *   ret for it, which hands the results over; out for fields that are arrays, of which
 *   those of `const double *` have arg1->n values;
 *   DARC_COPIED_BY(type, member, copy): a struct that is read out of another as a copy.
 */
%{
#include "files.h"
#include "instead.h"
#include "many.h"
%}
%include <stdint.i>

%define DIALARC_UNLOCKED(function) %enddef
%define DIALARC_EACH_ALONE(function) %enddef
%define DIALARC_INDEX(function) %enddef
%define DIALARC_ANY_NUMBER %enddef
%define DIALARC_FINITE_NUMBER %enddef

/* ---- numbers --------------------------------------------------------------------- */

%typemap(in, numinputs=0) size_t n "$1 = 0;"
%typemap(check) size_t n "$1 = darc_length(&frame);"

%typemap(check) const double * "";
%typemap(argout) const double * "";

%typemap(in, numinputs=0) double * (double temp = 0, double *room = NULL) "$1 = &temp;"
%typemap(check) double * {
  if (frame.arrays) {
    room$argnum = darc_room(&frame, frame.count, "$1_name");
    $1 = room$argnum;
  }
}
%typemap(argout) double * {
  if (frame.arrays) darc_give_numbers(&frame, frame.count, room$argnum);
  else darc_give_number(&frame, temp$argnum);
}
%typemap(in, numinputs=0) double *SCALAR (double temp = 0) "$1 = &temp;"
%typemap(check) double *SCALAR "";
%typemap(argout) double *SCALAR "darc_give_number(&frame, temp$argnum);"

%typemap(in, numinputs=0) int *sense (int temp) "$1 = &temp;"
%typemap(argout) int *sense "darc_give_whole(&frame, temp$argnum);"
%typemap(in, numinputs=0) size_t *index (size_t temp) "$1 = &temp;"
%typemap(argout) size_t *index "darc_give_whole(&frame, (long)temp$argnum);"
%typemap(in, numinputs=0) size_t *length "$1 = NULL;"
%typemap(in, numinputs=0) (char *text, size_t size) (char room[DIALARC_RESULT_SIZE]) {
  $1 = room;
  $2 = sizeof room;
}
%typemap(argout) (char *text, size_t size) "darc_give_text(&frame, room$argnum);"
/* Rows of a table, one for each value of the arrays. */
%typemap(in, numinputs=0) (char *rows, size_t size) "$1 = NULL;"
%typemap(check) (char *rows, size_t size) {
  size_t many = darc_length(&frame);
  $2 = many <= DIALARC_CAMTABLE_MAX ? many * DIALARC_CAM_ROW_SIZE : 0;
  $1 = (char *)darc_room(&frame, $2 / sizeof(double), "$1_name");
}
%typemap(argout) (char *rows, size_t size) "darc_give_text(&frame, $1);"
%typemap(in, numinputs=0) const char **name (const char *temp = NULL)
  "$1 = (char **)&temp;"
%typemap(argout) const char **name "darc_give_text(&frame, temp$argnum);"
%typemap(freearg) const char **name "";

/* Patterns that only Python uses. */
%typemap(in) (size_t COUNT, void **RESULT) "";
%typemap(in) (size_t COUNT, double *FIRST, double *SECOND) "";
%typemap(in) (size_t COUNT, double *FIRST) "";
/* An n that is an ordinary argument is called rows, or points when it is the length of
 * the results. */
%typemap(check) size_t points {
  darc_count(&frame, $1, "$1_name");
  frame.arrays = 1;
}
/* Arrays of a length of their own: residuals of a sweep, derivatives by each input. */
%typemap(in, numinputs=0) double *residual_mm (double *room = NULL),
                          double *residuals (double *room = NULL),
                          double *slope (double *room = NULL) "$1 = NULL;"
%typemap(check) double *slope {
  room$argnum = darc_room(&frame, frame.count, "$1_name");
  $1 = room$argnum;
}
/* The library writes no residuals of a sweep that it cannot use: they stay NaN. */
%typemap(check) double *residual_mm, double *residuals {
  room$argnum = darc_room(&frame, frame.count, "$1_name");
  for (size_t i = 0; room$argnum && i < frame.count; i++)
    room$argnum[i] = DIALARC_UNKNOWN;
  $1 = room$argnum;
}
%typemap(argout) double *residual_mm, double *residuals, double *slope {
  darc_give_numbers(&frame, frame.count, room$argnum);
}

%typemap(in, numinputs=0) int *LISTED (int temp[DARC_LISTED_MAX] = {0}) "$1 = temp;"
%typemap(argout) int *LISTED "darc_give_wholes(&frame, frame.count, temp$argnum);"
%typemap(argout) (int COUNT, const int *LIST) "";

/* Arrays inside structs are read as copies and cannot be set. */
%immutable dialarc_timing::rise_mm;
%immutable dialarc_minimum::coefficient;
%immutable dialarc_minimum::covariance;
%ignore dialarc_findings::row;
%ignore dialarc_findings::severity;
%ignore dialarc_lobes::lobe;
%ignore dialarc_whatif::input;

/* ---- enumerations ---------------------------------------------------------------- */

%define DIALARC_STATUS(type, Name)
%rename(Name) type;
%enddef

%define DIALARC_ENUM(type, Name)
%rename(Name) type;
%typemap(in, numinputs=0) type * (type temp) "$1 = &temp;"
%typemap(argout) type * "darc_give_whole(&frame, (long)temp$argnum);"
%enddef

/* ---- structs --------------------------------------------------------------------- */

/* A struct that goes in. */
%define DARC_POINTER(type)
%typemap(in) const type * = SWIGTYPE *;
%typemap(in) type *self = SWIGTYPE *;
%typemap(argout) const type * "";
%typemap(argout) type *self "";
%enddef

%define DIALARC_RECORD(type, Name)
%rename(Name) type;
%defaultctor type;
DARC_POINTER(type)
%typemap(in, numinputs=0) type * (type temp) {
  memset(&temp, 0, sizeof temp);
  $1 = &temp;
}
%typemap(argout) type * {
  darc_give_object(&frame, darc_copy(&temp$argnum, sizeof temp$argnum),
                   DARC_TYPE($1_descriptor));
}
%enddef

/* Handles of the library, and structs kept with their arrays in one block. */
%define DARC_OWNED(type, Name, free_function)
%rename(Name) type;
%nodefaultctor type;
DARC_POINTER(type)
%typemap(in, numinputs=0) type ** (type *temp = NULL) "$1 = &temp;"
%typemap(argout) type **
  "darc_give_object(&frame, temp$argnum, DARC_TYPE($*1_descriptor));"
%extend type { ~type() { free_function($self); } }
%enddef

%define DIALARC_HANDLE(type, Name, free_function)
%ignore free_function;
DARC_OWNED(type, Name, free_function)
%newobject type##_new;
struct type {};
%enddef

%define DIALARC_LIST(type, name)
DARC_LIST(type, name)
%enddef

%define DIALARC_BORROWING(type)
%enddef
%ignore dialarc_sweep::direction;
%ignore dialarc_sweep_record::line;
%ignore dialarc_job::line;
%ignore dialarc_job::round;
%ignore dialarc_cam_record::table;
%immutable dialarc_sweep::n;
%immutable dialarc_sweep::crank_deg;
%immutable dialarc_sweep::dial_mm;
%immutable dialarc_injection::n;
%immutable dialarc_injection::crank_rpm;
%immutable dialarc_injection::advance_crank_deg;
%immutable dialarc_sweep_record::name;
%immutable dialarc_sweep_record::setup_index;
%immutable dialarc_sweep_record::setup;
%immutable dialarc_sweep_record::sweep;
%immutable dialarc_sweep_record::row;
%immutable dialarc_job::name;
%immutable dialarc_job::setup_index;
%immutable dialarc_job::setup;
%immutable dialarc_job::n;
%immutable dialarc_cam_record::name;
%immutable dialarc_cam_record::cam_sd_mm;
%immutable dialarc_cam_record::period_deg;
%immutable dialarc_cam_record::n;
%immutable dialarc_cam_record::pump_deg;
%immutable dialarc_cam_record::lift_mm;
DARC_OWNED(dialarc_sweep, Sweep, free)
DARC_OWNED(dialarc_injection, Injection, free)
DARC_OWNED(dialarc_sweep_record, SweepRecord, darc_free_sweep_record)
DARC_OWNED(dialarc_job, Job, darc_free_job)
DARC_OWNED(dialarc_cam_record, CamRecord, free)

/* An estimate returns one residual for each reading of the sweep. */
%typemap(check) const dialarc_sweep * {
  if ($1) darc_count(&frame, $1->n, "$1_name");
}

/* The place of a fault in a table becomes part of the error raised. */
%typemap(in, numinputs=0) dialarc_error *error (dialarc_error temp[DIALARC_ERRORS_MAX]) {
  memset(temp, 0, sizeof temp);
  temp->room = DIALARC_ERRORS_MAX;
  $1 = temp;
  frame.place = temp;
}
%typemap(argout) dialarc_error *error "";

/* ---- functions that darc_ ones of instead.h and files.h stand in for ------------- */

%ignore dialarc_assess;
%ignore dialarc_cams_get;
%ignore dialarc_cams_name;
%ignore dialarc_cams_read;
%ignore dialarc_dials_calibrated_on;
%ignore dialarc_dials_certificate;
%ignore dialarc_dials_name;
%ignore dialarc_dials_read;
%ignore dialarc_camtable_from_cam;
%ignore dialarc_camtable_from_arcs;
%ignore dialarc_camtable_from_scca;
%ignore dialarc_design_choose;
%ignore dialarc_input_sd;
%ignore dialarc_jobs_get;
%ignore dialarc_jobs_read;
%ignore dialarc_learned_cam_lobe;
%ignore dialarc_lifts_hand;
%ignore dialarc_lifts_read;
%ignore dialarc_lifts_setup;
%ignore dialarc_lifts_sweep;
%ignore dialarc_live_line;
%ignore dialarc_rows_read;
%ignore dialarc_rows_text;
%ignore dialarc_setups_dial;
%ignore dialarc_setups_get;
%ignore dialarc_setups_name;
%ignore dialarc_setups_read;
%ignore dialarc_stream_assess;
%ignore dialarc_sweep_reader_next;
%ignore dialarc_sweeps_get;
%ignore dialarc_sweeps_read;
%ignore dialarc_whatif_sensitivity;
/* The work of many threads, from tables: assess_all(). */
%ignore dialarc_batch;
%ignore dialarc_batch_options;
%ignore dialarc_batch_assess;
%ignore dialarc_streamed;
/* Where C takes a stream there is a file: sweep_reader_open(), stream_assess(). */
%ignore dialarc_memory;
%ignore dialarc_read_file;
%ignore dialarc_read_memory;
%ignore dialarc_sweep_buffer;
%ignore dialarc_sweep_buffer_new;
%ignore dialarc_sweep_buffer_free;
%ignore dialarc_sweep_reader;
%ignore dialarc_sweep_reader_new;
%ignore dialarc_sweep_reader_free;

%define DARC_COPIED(type, member)
DARC_COPIED_BY(type, member, darc_copy)
%enddef

/* Structs inside structs. */
DARC_COPIED(dialarc_budget, budget)
DARC_COPIED(dialarc_gauge_line, by_engine)
DARC_COPIED(dialarc_gauge_line, by_hand)
DARC_COPIED(dialarc_gauge_line, by_both)
DARC_COPIED(dialarc_gauge_line, within)
DARC_COPIED(dialarc_component, engine)
DARC_COPIED(dialarc_component, hand)
DARC_COPIED(dialarc_component, engine_hand)
DARC_COPIED(dialarc_component, repetition)
DARC_COPIED(dialarc_component, repeatability)
DARC_COPIED(dialarc_component, reproducibility)
DARC_COPIED_BY(dialarc_cam, cam, darc_copy_cam)
DARC_COPIED_BY(dialarc_cam, cam_now, darc_copy_cam)
DARC_COPIED(dialarc_decision, decision)
DARC_COPIED(dialarc_findings, findings)
DARC_COPIED(dialarc_outcome, value)
DARC_COPIED(dialarc_outcome, sd)
DARC_COPIED(dialarc_propagation, lift_mm)
DARC_COPIED(dialarc_propagation, output)
DARC_COPIED(dialarc_propagation, advance_crank_deg)
DARC_COPIED_BY(dialarc_setup, setup, darc_copy_setup)
DARC_COPIED(dialarc_timing, timing)
%typemap(out) dialarc_sweep *sweep = dialarc_sweep *COPY;
