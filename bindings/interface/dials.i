/* SPDX-License-Identifier: GPL-3.0-or-later
 * Play and the dial: hysteresis, readings, calibration, permissible errors. */
DIALARC_ENUM(dialarc_contact, Contact)
DIALARC_ENUM(dialarc_bezel, Bezel)
DIALARC_ENUM(dialarc_dial_item, DialItem)
DIALARC_ENUM(dialarc_proof, Proof)
DIALARC_RECORD(dialarc_dial, Dial)
DIALARC_RECORD(dialarc_dialcheck, DialCheck)
DIALARC_HANDLE(dialarc_dialcal, DialCal, dialarc_dialcal_free)

/* A setup owns a share of the calibration of its dial. */
%{
#include <stdlib.h>

static dialarc_dialcal *darc_share_dial(const dialarc_dialcal *dialcal)
{
    dialarc_dialcal *shared = NULL;
    if (dialcal)
        dialarc_dialcal_share(dialcal, &shared);
    return shared;
}

static void *darc_copy_setup(const dialarc_setup *setup, size_t size)
{
    dialarc_setup *copy = setup ? (dialarc_setup *)malloc(size) : NULL;
    if (copy) {
        *copy = *setup;
        darc_share_dial(copy->dial_calibration);
    }
    return copy;
}
%}
%newobject dialarc_setup::dial_calibration;
%typemap(ret) const dialarc_dialcal *dial_calibration "darc_share_dial($1);"
%typemap(memberin) const dialarc_dialcal *dial_calibration {
  dialarc_dialcal *before = (dialarc_dialcal *)$1;
  $1 = darc_share_dial($input);
  dialarc_dialcal_free(before);
}
#if defined(SWIGPYTHON)
%typemap(in) const dialarc_dialcal *dial_calibration (void *pointer = NULL) {
  if (!SWIG_IsOK(SWIG_ConvertPtr($input, &pointer, $1_descriptor, 0))) {
    darpy_complain(PyExc_TypeError, "$symname", "$1_name",
                   "a dialarc.DialCal or None is needed", $input);
    SWIG_fail;
  }
  $1 = (dialarc_dialcal *)pointer;
}
#endif

DIALARC_UNLOCKED(dialarc_play_driven_array)
DIALARC_UNLOCKED(dialarc_play_reading_array)
DIALARC_EACH_ALONE(dialarc_dial_travel_array)
DIALARC_UNLOCKED(dialarc_dial_unwrap_array)
DIALARC_EACH_ALONE(dialarc_dialcal_true)
DIALARC_EACH_ALONE(dialarc_dialcal_shown)

%include <dialarc/play.h>
%include <dialarc/dial.h>
%include <dialarc/dialcal.h>
%include <dialarc/dialcheck.h>
%include <dialarc/diallimit.h>
