/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * How far back before the stretch that was fitted the string is already alone.
 */
#ifndef DARC_PLUCK_LEAD_H
#define DARC_PLUCK_LEAD_H

#include <stddef.h>

#include "belt/pluck_fit.h"

/* How many of the `most` samples before the pluck the fitted string and hum explain as
 * well as those in it. */
size_t darc_string_lead(const darc_sound *pluck, const darc_string *string, size_t most);

#endif
