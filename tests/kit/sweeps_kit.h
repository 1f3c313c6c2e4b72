/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Sweeps tables in tests, and two tables of engines for them.
 */
#ifndef SWEEPS_KIT_H
#define SWEEPS_KIT_H

#include <dialarc/table_sweeps.h>

#include "kit/table_kit.h"

static dialarc_setups *one, *two;

static void setup(void)
{
    one = kit_setups("setup,lobes,angle_sd_deg\nfour,4,0.2\n");
    two = kit_setups("setup,lobes,angle_sd_deg,crank_per_pump,wheel_error_deg\n"
                     "four,4,0.2,,0.3\nsix,6,0.25,1.5,\n");
}

static void teardown(void)
{
    dialarc_setups_free(one);
    dialarc_setups_free(two);
}

static dialarc_sweeps *read_good(const char *text, const dialarc_setups *setups)
{
    kit_source source = kit_text(text);
    dialarc_sweeps *sweeps = NULL;
    dialarc_error error = {0};
    dialarc_status status =
        dialarc_sweeps_read(kit_read, &source, setups, &sweeps, &error);
    ck_assert_msg(status == DIALARC_OK, "%s", error.text);
    ck_assert_int_eq(error.status, DIALARC_OK);
    return sweeps;
}

#endif
