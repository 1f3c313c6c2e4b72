/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The history of settings in an SQLite file: one row a sweep, known by engine, name of
 * the sweep and day. What is added arrives as a whole, in one transaction that lasts as
 * long as the writing, not as long as the assessment; another writer waits for it.
 */
#ifndef HISTORY_STORE_H
#define HISTORY_STORE_H

#include <dialarc.h>

typedef struct sqlite3 sqlite3;
typedef struct sqlite3_stmt sqlite3_stmt;

typedef struct store {
    sqlite3 *db; /* a temporary one, to which the history is attached */
    const char *path;
    int attached;
    sqlite3_stmt *insert;
    const char *day; /* of the sweeps that are added */
    char fault[256]; /* why something has failed */
} store;

/* A sweep of the history that carries a setting. */
typedef struct setting {
    const char *setup, *sweep, *day,
        *verdict;              /* as long as the call that hands it over */
    double year;               /* the day, in years of 365.25 days */
    double lift_mm, lift_u_mm; /* expanded, 95 % */
    double rate_mm_per_crank_deg;
    double lift_low_mm, lift_high_mm; /* DIALARC_UNKNOWN: no window */
    double shared_sd_mm; /* of the lift, shared by the sweeps of the engine; or UNKNOWN */
} setting;

/* Takes one setting; 0 to go on. */
typedef int (*store_take)(void *context, const setting *s);

/* Opens a history, for adding also a new one. These return 0, or -1 with a reason. */
int store_open(store *s, const char *path, int to_add);

/* The day after so many months, or the day itself; today when `day` is NULL. */
int store_day(store *s, const char *day, int months, char after[11]);

/* Years of 365.25 days, as in setting.year. */
int store_year(store *s, const char *day, double *year);

/* Puts what was gathered (history_gather.h) into the history: so many sweeps new, and so
 * many renewed. */
int store_commit(store *s, long *added, long *renewed);

/*
 * Hands over the settings by engine and day. `setup` and `since` may be NULL: all.
 * Sweeps that are unusable are left out, and those from before their engine was last set
 * anew.
 */
int store_settings(store *s, const char *setup, const char *since, store_take take,
                   void *context);

/* Notes that an engine was set anew on a day: its earlier sweeps are of another setting.
 */
int store_anew(store *s, const char *setup, const char *day);

void store_close(store *s);

#endif
