/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One engine of the table, with its cam and its window: what the sums about a setting
 * start from. The cam is that of the table of engines, or one that has been learned.
 */
#ifndef ENGINE_H
#define ENGINE_H

#include <dialarc.h>

typedef struct engine {
    const char *name;
    dialarc_setups *setups;
    dialarc_cams *cams;
    const dialarc_setup *setup;
    dialarc_cam cam;
    double cam_sd_mm; /* standard uncertainty of its form */
    double crank_per_pump;
    double limit_mm[3]; /* of the window, where it is asked for: low, middle, high */
    double tdc_mm[3];   /* the same pumps at TDC, which must lie on the rise */
    double tdc_deg[3];  /* pump degrees from the foot at which they stand there */
} engine;

/*
 * Reads the table of engines and, where `cams` is not NULL, that of learned cams, of
 * which the one that is called `cam`, or as the engine, stands for the engine's own.
 * DONE; SOME_UNUSABLE after a complaint that not enough is known; or FAILED. Close it
 * always.
 */
int engine_open(const char *who, const char *setups, const char *name, const char *cams,
                const char *cam, engine *e);

void engine_close(engine *e);

/* The options of the commands that use it. */
#define ENGINE_CAM(wishes)                                                               \
    {"cams",                                                                             \
     "CAMS",                                                                             \
     OPTION_TEXT,                                                                        \
     offsetof(wishes, cams),                                                             \
     0,                                                                                  \
     0,                                                                                  \
     "table of learned cams: one of them stands for the engine's own"},                  \
    {                                                                                    \
        "cam", "NAME", OPTION_TEXT, offsetof(wishes, cam), 0, 0,                         \
            "which of them; if not given, that called as the engine"                     \
    }

#endif
