/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tdc_pairs.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "command.h"
#include "complain.h"
#include "tables.h"

#define DEG_PER_RAD 57.29577951308232

/* How well a dial brings the piston to a height again: its graduation; common practice,
 * no source. */
#define DROP_SD_MM 0.01

typedef enum along { ALONG_WHEEL, ALONG_TAPE, ALONG_CHORD } along;

static const char order[] = "BEFORE is counted back from the mark, AFTER forward, and "
                            "they are less than half a turn each";

/* A way along the rim, or a chord across it, in degrees. */
static dialarc_status to_degrees(along how, double radius_mm, double *way)
{
    if (how == ALONG_WHEEL)
        return DIALARC_OK;
    if (how == ALONG_CHORD)
        return dialarc_flywheel_angle(*way, radius_mm, way);
    if (!(radius_mm > 0.0))
        return DIALARC_ERR_LENGTH;
    *way *= DEG_PER_RAD / radius_mm;
    return DIALARC_OK;
}

/* What the wheel reads too much there, beyond what it does at the mark. */
static double error_at(const dialarc_wheel *wheel, double reading_deg)
{
    double there = 0.0, mark = 0.0;
    dialarc_wheel_error_at(wheel, reading_deg, &there);
    dialarc_wheel_error_at(wheel, 0.0, &mark);
    return there - mark;
}

/* One more pair, counted from the mark. */
static void add(tdc_pairs *p, along how, const tdc_usual *usual, double before,
                double after, double sd_deg, double drop_sd_mm)
{
    const dialarc_wheel *wheel = how == ALONG_WHEEL ? usual->wheel : NULL;
    p->before_deg[p->n] = -before - (wheel ? error_at(wheel, -before) : 0.0);
    p->after_deg[p->n] = after - (wheel ? error_at(wheel, after) : 0.0);
    p->sd_deg[p->n] = sd_deg;
    p->drop_sd_mm[p->n] = drop_sd_mm;
    /* Of a wheel that is known what is not known of it is left, by a cosine and a sine.
     */
    p->wheel_error_deg[p->n] = how != ALONG_WHEEL ? 0.0
                               : wheel            ? sqrt(2.0) * wheel->error_sd_deg
                                                  : usual->wheel_deg;
    p->n++;
}

static int in_order(double before, double after)
{
    return fabs(before) < 180.0 && fabs(after) < 180.0 && before + after > 0.0;
}

static int add_word(const char *who, const char *text, const tdc_usual *usual,
                    tdc_pairs *p)
{
    char start[64];
    const char *colon = strchr(text, ':');
    size_t length = colon ? (size_t)(colon - text) : 0;
    double before, after;
    along how = isnan(usual->rim_mm) ? ALONG_WHEEL
                : usual->chord       ? ALONG_CHORD
                                     : ALONG_TAPE;
    if (!colon || length >= sizeof start)
        return complain(who, text, "BEFORE:AFTER is wanted, such as 31.5:30.9");
    memcpy(start, text, length);
    start[length] = '\0';
    if (!command_number(start, &before) || !command_number(colon + 1, &after))
        return complain(who, text, "two numbers are wanted, such as 31.5:30.9");
    dialarc_status status = to_degrees(how, usual->rim_mm, &before);
    if (status == DIALARC_OK)
        status = to_degrees(how, usual->rim_mm, &after);
    if (status != DIALARC_OK)
        return complain(who, text, dialarc_status_text(status));
    if (!in_order(before, after))
        return complain(who, text, order);
    add(p, how, usual, before, after, usual->sd_deg, usual->drop_sd_mm);
    return DONE;
}

int tdc_pairs_words(const char *who, char **word, const tdc_usual *usual,
                    tdc_pairs *pairs)
{
    *pairs = (tdc_pairs){.n = 0};
    for (; *word; word++) {
        if (pairs->n == TDC_PAIRS_MAX)
            return complain(who, *word, "there may be 100 pairs");
        if (add_word(who, *word, usual, pairs) != DONE)
            return FAILED;
    }
    return DONE;
}

/* A table and the row that is read. */
typedef struct place {
    const char *who, *path;
    const dialarc_rows *rows;
    size_t row;
} place;

static int refuse(const place *at, const char *column, const char *text)
{
    return tables_row_fails(at->who, at->path, at->rows, at->row, column, text);
}

/* Which of some words the field says, 0 when it is blank; -1 after a complaint. */
static int word_of(const place *at, const char *column, const char *const *word, int n)
{
    char text[160] = "must be ";
    const char *said = dialarc_rows_text(at->rows, at->row, column);
    if (!said[0])
        return 0;
    for (int k = 0; k < n; k++)
        if (strcmp(said, word[k]) == 0)
            return k;
    for (int k = 0; k < n; k++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "%s%s",
                 k == 0      ? ""
                 : k < n - 1 ? ", "
                             : " or ",
                 word[k]);
    refuse(at, column, text);
    return -1;
}

/* A number that must be above 0, or may be 0. */
static int read_size(const place *at, const char *column, double blank, int may_be_0,
                     double *value)
{
    *value = tables_number(at->rows, at->row, column, blank);
    if (*value > 0.0 || (may_be_0 && *value == 0.0))
        return DONE;
    return refuse(at, column,
                  isnan(*value) ? "must be known"
                  : may_be_0    ? "must not be below 0"
                                : "must be above 0");
}

/* BEFORE or AFTER of a row. */
static int read_way(const place *at, const char *column, along how, double radius_mm,
                    double *way)
{
    *way = tables_number(at->rows, at->row, column, DIALARC_UNKNOWN);
    if (isnan(*way))
        return refuse(at, column,
                      how == ALONG_WHEEL ? "must be known: a pair by wheel has degrees"
                                         : "must be known: a pair along the rim has mm");
    dialarc_status status = to_degrees(how, radius_mm, way);
    return status == DIALARC_OK ? DONE : refuse(at, column, dialarc_status_text(status));
}

static int add_row(const place *at, const tdc_usual *usual, tdc_pairs *p)
{
    static const char *const ways[] = {"wheel", "tape", "chord"};
    static const char *const heights[] = {"stop", "drop"};
    int way = word_of(at, "along", ways, 3), height = word_of(at, "height", heights, 2);
    double radius_mm = 1.0, before, after, sd_deg, sd_mm, drop_sd_mm;
    int wheel = way == ALONG_WHEEL;
    if (way < 0 || height < 0)
        return FAILED;
    if ((!wheel && read_size(at, "radius_mm", usual->rim_mm, 0, &radius_mm)) ||
        read_way(at, wheel ? "before_deg" : "before_mm", (along)way, radius_mm,
                 &before) ||
        read_way(at, wheel ? "after_deg" : "after_mm", (along)way, radius_mm, &after) ||
        read_size(at, "sd_deg", usual->sd_deg, 0, &sd_deg) ||
        read_size(at, "sd_mm", radius_mm * sd_deg / DEG_PER_RAD, 0, &sd_mm) ||
        read_size(at, "drop_sd_mm", height ? DROP_SD_MM : usual->drop_sd_mm, 1,
                  &drop_sd_mm))
        return FAILED;
    if (!in_order(before, after))
        return refuse(at, NULL, order);
    add(p, (along)way, usual, before, after,
        wheel ? sd_deg : sd_mm * DEG_PER_RAD / radius_mm, drop_sd_mm);
    return DONE;
}

/* The engine of a row among those so far, or a new one; NULL after a complaint. */
static tdc_pairs *engine_of(const place *at, tdc_pairs **pairs, size_t *engines)
{
    const char *name = dialarc_rows_text(at->rows, at->row, "setup");
    for (size_t k = 0; k < *engines; k++)
        if (strcmp((*pairs)[k].name, name) == 0)
            return &(*pairs)[k];
    tdc_pairs *more = realloc(*pairs, (*engines + 1) * sizeof *more);
    if (!more) {
        complain_memory(at->who);
        return NULL;
    }
    *pairs = more;
    tdc_pairs *made = &more[(*engines)++];
    *made = (tdc_pairs){.n = 0};
    snprintf(made->name, sizeof made->name, "%s", name);
    return made;
}

int tdc_pairs_table(const char *who, const char *path, const tdc_usual *usual,
                    tdc_pairs **pairs, size_t *engines)
{
    dialarc_rows *rows = NULL;
    int result = tables_rows(who, path,
                             "setup height along before_deg after_deg before_mm after_mm "
                             "radius_mm sd_deg sd_mm drop_sd_mm",
                             &rows);
    place at = {who, path, rows, 0};
    for (; result == DONE && at.row < dialarc_rows_count(rows); at.row++) {
        tdc_pairs *p = engine_of(&at, pairs, engines);
        if (!p)
            result = FAILED;
        else if (p->n == TDC_PAIRS_MAX)
            result = refuse(&at, NULL, "there may be 100 pairs of an engine");
        else
            result = add_row(&at, usual, p);
    }
    dialarc_rows_free(rows);
    return result;
}
