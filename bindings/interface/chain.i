/* SPDX-License-Identifier: GPL-3.0-or-later
 * What if: the chain from the dial to the running engine. */
DIALARC_ENUM(dialarc_whatif_input, WhatifInput)
DIALARC_RECORD(dialarc_whatif, Whatif)
DIALARC_RECORD(dialarc_outcome, Outcome)
DIALARC_RECORD(dialarc_whatif_result, WhatifResult)

%immutable dialarc_whatif::cam;
%immutable dialarc_whatif::input;
%immutable dialarc_whatif_result::value;
%immutable dialarc_whatif_result::sd;
%immutable dialarc_whatif_result::lift_mm;
%immutable dialarc_whatif_result::advance_crank_deg;

DIALARC_UNLOCKED(dialarc_whatif_propagate)

%extend dialarc_whatif {
  ~dialarc_whatif() {
    dialarc_camtable_free((dialarc_camtable *)$self->cam.lobe_table);
    free($self);
  }
}

%include <dialarc/whatif.h>
