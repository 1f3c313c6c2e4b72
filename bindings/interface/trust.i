/* SPDX-License-Identifier: GPL-3.0-or-later
 * How far to trust: uncertainty, conformity, propagation. */
DIALARC_ENUM(dialarc_shape, Shape)
DIALARC_RECORD(dialarc_conformity, Conformity)
DIALARC_RECORD(dialarc_inspection, Inspection)
DIALARC_RECORD(dialarc_risks, Risks)
DIALARC_RECORD(dialarc_input, Input)
DIALARC_RECORD(dialarc_propagated, Propagated)
DIALARC_RECORD(dialarc_propagation, Propagation)
DIALARC_RECORD(dialarc_adaptive, Adaptive)
DIALARC_LIST(dialarc_input, input)

%immutable dialarc_adaptive::output;

%apply double *SCALAR { double *combined, double *effective, double *probability };

DIALARC_EACH_ALONE(dialarc_conformity_probabilities)

%include <dialarc/uncertainty.h>
%include <dialarc/conformity.h>
%include <dialarc/propagate.h>
%include <dialarc/montecarlo.h>
