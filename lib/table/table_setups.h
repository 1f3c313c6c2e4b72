/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What other tables put into the setups of a table. */
#ifndef DARC_TABLE_SETUPS_H
#define DARC_TABLE_SETUPS_H

#include <dialarc/table_setups.h>

/* Gives a setup a share of the calibration of its dial, which it then owns. */
void darc_setups_calibrate(dialarc_setups *setups, size_t index, dialarc_dialcal *share);

#endif
