/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "dial_type.h"

#include <math.h>

#include "complain.h"
#include "csv.h"
#include "page.h"

static dialarc_status limit_of(const dial_type *t, dialarc_dial_item item,
                               double *limit_mm)
{
    return dialarc_diallimit_mm(t->bezel, t->step_mm, t->range_mm, item, limit_mm);
}

int dial_type_find(const char *who, dial_type *t)
{
    double limit_mm = 0.0;
    if (isnan(t->range_mm))
        return complain(who, "--range",
                        "without BLOCKS the measuring range of the dial must be said");
    dialarc_status status = limit_of(t, DIALARC_DIAL_ONE_TURN, &limit_mm);
    if (status != DIALARC_OK)
        status = limit_of(t, DIALARC_DIAL_WHOLE_RANGE, &limit_mm);
    if (status != DIALARC_OK)
        return complain(who, "--step, --range",
                        "no limit is laid down for such a dial: read it against blocks");
    dialarc_diallimit_lift_sd(limit_mm, &t->lift_sd_mm);
    return DONE;
}

static void say_limit(FILE *out, const dial_type *t, const char *lead,
                      dialarc_dial_item item)
{
    double limit_mm;
    if (limit_of(t, item, &limit_mm) == DIALARC_OK)
        page_say(out, lead, "%.1f um", 1000.0 * limit_mm);
}

void dial_type_page(FILE *out, const dial_type *t)
{
    double hysteresis_mm = 0.0;
    page_head(out, "A DIAL BY ITS TYPE ALONE");
    page_say(out, "  Allowed       ",
             "by the type of %g mm graduation and %g mm range%s are spans of errors:",
             t->step_mm, t->range_mm,
             t->bezel == DIALARC_BEZEL_SMALL ? ", bezel below 50 mm or stem at the back"
                                             : "");
    say_limit(out, t, "  Tenth turn    ", DIALARC_DIAL_TENTH_TURN);
    say_limit(out, t, "  Half turn     ", DIALARC_DIAL_HALF_TURN);
    say_limit(out, t, "  One turn      ", DIALARC_DIAL_ONE_TURN);
    say_limit(out, t, "  Whole range   ", DIALARC_DIAL_WHOLE_RANGE);
    say_limit(out, t, "  Hysteresis    ", DIALARC_DIAL_HYSTERESIS);
    say_limit(out, t, "  Repeatability ", DIALARC_DIAL_REPEATABILITY);
    page_say(out, "  A lift        ",
             "is known within %.1f um (sd) by that, and --csv writes the rows of the "
             "table of dials that say so.",
             1000.0 * t->lift_sd_mm);
    if (limit_of(t, DIALARC_DIAL_HYSTERESIS, &hysteresis_mm) == DIALARC_OK)
        page_say(out, "  For the table ", "of engines: dial_hysteresis_mm %.4f",
                 hysteresis_mm);
    page_say(out, "  Note          ",
             "Nobody has seen that this dial keeps them: a worn or knocked one does not. "
             "Read it against gauge blocks: dialarc dial BLOCKS.");
}

void dial_type_rows(FILE *out, const dial_type *t)
{
    for (int end = 0; end < 2; end++) {
        csv_text(out, t->name, t->guard);
        csv_number(out, end * t->range_mm, 4);
        csv_number(out, end * t->range_mm, 4);
        csv_number(out, t->lift_sd_mm, 5);
        fprintf(out, ",%s,", t->on ? t->on : "");
        csv_text(out, t->certificate ? t->certificate : "limits of its type", t->guard);
        fputs("\r\n", out);
    }
}
