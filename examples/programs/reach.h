/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where readings can be taken on an engine: options that plan and take have in common. */
#ifndef REACH_H
#define REACH_H

#include <dialarc.h>

#include "command.h"

/* Not said on the command line. */
#define REACH_UNSAID 1e30

typedef struct reach_wishes {
    double from_deg, to_deg, step_deg;
    int both_ways, forward;
} reach_wishes;

#define REACH_DEFAULTS                                                                   \
    {                                                                                    \
        .from_deg = REACH_UNSAID, .to_deg = REACH_UNSAID, .step_deg = 1.0                \
    }

/* DONE, or FAILED after a complaint. */
int reach_of(const char *who, const dialarc_setup *setup, const reach_wishes *wishes,
             dialarc_reach *reach);

/* What is wrong with a reach, in words. */
const char *reach_complaint(void);

/* Lift that is thought of: mid-window, or a usual one. */
double reach_lift(const dialarc_setup *setup);

#define REACH_FROM                                                                       \
    "first crank angle, below 0 before TDC (0.55 of the way from lobe to lobe before "   \
    "TDC if not given)"
#define REACH_TO "last crank angle (20 after the angle of the window if not given)"
#define REACH_STEP                                                                       \
    "crank degrees from one angle to the next that may be chosen (1 if not given)"
#define REACH_BOTH                                                                       \
    "read on the way back, too; not if not given, unless the table says that the "       \
    "engine may be turned back"
#define REACH_FORWARD "read on the way forward only, whatever the table says"

#define REACH_PLACE(wishes, field) offsetof(wishes, reach.field), 0, 0

#define REACH_OPTIONS(wishes)                                                            \
    {"from", "DEG", OPTION_NUMBER, REACH_PLACE(wishes, from_deg), REACH_FROM},           \
        {"to", "DEG", OPTION_NUMBER, REACH_PLACE(wishes, to_deg), REACH_TO},             \
        {"step", "DEG", OPTION_NUMBER, REACH_PLACE(wishes, step_deg), REACH_STEP},       \
        {"both-ways", NULL, OPTION_FLAG, REACH_PLACE(wishes, both_ways), REACH_BOTH},    \
    {                                                                                    \
        "forward", NULL, OPTION_FLAG, REACH_PLACE(wishes, forward), REACH_FORWARD        \
    }

#endif
