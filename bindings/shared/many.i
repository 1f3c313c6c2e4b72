/* SPDX-License-Identifier: GPL-3.0-or-later
 * Many sweeps at once, by many threads. */
DIALARC_RECORD(dialarc_batch_result, Assessment)

%immutable dialarc_batch_result::status;
%immutable dialarc_batch_result::timing;
%immutable dialarc_batch_result::decision;

%include <dialarc/batch.h>
%include <dialarc/stream.h>
