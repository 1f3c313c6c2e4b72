/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What witnesses of a setting say together, as a page for people.
 */
#ifndef CROSSCHECK_PAGE_H
#define CROSSCHECK_PAGE_H

#include <dialarc.h>
#include <stdio.h>

#include "crosscheck_seen.h"
#include "engine.h"

typedef struct crosscheck_page {
    engine engine;
    size_t n;
    crosscheck_seen seen[DIALARC_WITNESSES_MAX];
    double off_deg[DIALARC_WITNESSES_MAX]; /* from what the others say */
    double off_sd_deg[DIALARC_WITNESSES_MAX];
    dialarc_crosscheck all;
    dialarc_crosscheck others; /* all but the farthest; of 3 witnesses and more */
} crosscheck_page;

void crosscheck_page_say(FILE *out, const crosscheck_page *p);

#endif
