/* SPDX-License-Identifier: GPL-3.0-or-later
 * What if: the chain from the dial to the running engine. */
DIALARC_ENUM(dialarc_whatif_input, WhatifInput)
DIALARC_RECORD(dialarc_whatif, Whatif)
DIALARC_RECORD(dialarc_outcome, Outcome)
DIALARC_RECORD(dialarc_whatif_result, WhatifResult)

%immutable dialarc_whatif::cam;
%immutable dialarc_whatif::cam_now;
%immutable dialarc_whatif::input;
%immutable dialarc_whatif_result::value;
%immutable dialarc_whatif_result::sd;
%immutable dialarc_whatif_result::lift_mm;
%immutable dialarc_whatif_result::advance_crank_deg;

DIALARC_UNLOCKED(dialarc_whatif_propagate)

%{
/* A copy of a case, which owns a share of the tables of its cams. */
static void *darc_copy_whatif(const dialarc_whatif *whatif, size_t size)
{
  dialarc_whatif *copy = whatif ? (dialarc_whatif *)malloc(size) : NULL;
  if (copy) {
    *copy = *whatif;
    darc_share(copy->cam.lobe_table);
    darc_share(copy->cam_now.lobe_table);
  }
  return copy;
}
%}
#if defined(SWIGPYTHON)
%typemap(argout) dialarc_whatif * {
  dialarc_whatif *made = (dialarc_whatif *)darc_copy_whatif($1, sizeof *made);
  if (!made) {
    PyErr_NoMemory();
    SWIG_fail;
  }
  $result = darpy_append($result, SWIG_NewPointerObj(made, $1_descriptor,
                                                     SWIG_POINTER_OWN));
}
#else
%typemap(argout) dialarc_whatif * {
  darc_give_object(&frame, darc_copy_whatif(&temp$argnum, sizeof temp$argnum),
                   DARC_TYPE($1_descriptor));
}
#endif
%extend dialarc_whatif {
  ~dialarc_whatif() {
    dialarc_camtable_free((dialarc_camtable *)$self->cam.lobe_table);
    dialarc_camtable_free((dialarc_camtable *)$self->cam_now.lobe_table);
    free($self);
  }
}

%include <dialarc/whatif.h>
