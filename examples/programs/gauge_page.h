/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a gauge study says, in words.
 */
#ifndef GAUGE_PAGE_H
#define GAUGE_PAGE_H

#include <dialarc.h>
#include <stdio.h>

#include "reading.h"

typedef struct gauge_page {
    dialarc_gauge_study study;
    int has_window;
    double low_mm, high_mm;
    dialarc_gauge_window window;
    reading reading; /* of no sweep: it is not told */
} gauge_page;

void gauge_page_say(FILE *out, const gauge_page *page);

#endif
