/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What batch and stream have in common. Private. */
#ifndef DARC_BATCH_H
#define DARC_BATCH_H

#include <dialarc/batch.h>
#include <dialarc/workspace.h>

/* One sweep; whatever the status, every field is written. `residual_mm` as for
 * dialarc_assess(). */
void darc_result_assess(dialarc_workspace *workspace, const dialarc_setup *setup,
                        const dialarc_sweep *sweep, double *residual_mm,
                        dialarc_batch_result *result);

/* No result, and why. */
void darc_result_fail(dialarc_batch_result *result, dialarc_status status);

#endif
