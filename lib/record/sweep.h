/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether a sweep can be read at all. */
#ifndef DARC_SWEEP_H
#define DARC_SWEEP_H

#include <dialarc/status.h>
#include <dialarc/sweep.h>

/* DIALARC_OK, or DIALARC_ERR_SIZE, _NULL, _NOT_FINITE, _RANGE, _DIRECTION. */
dialarc_status darc_sweep_check(const dialarc_sweep *sweep);

#endif
