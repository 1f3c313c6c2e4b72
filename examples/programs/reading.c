/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "reading.h"

#include <math.h>

#include "csv.h"
#include "page.h"

void reading_say(FILE *out, const reading *r)
{
    const dialarc_reading_errors *e = &r->errors;
    page_say(out, "  Dial          ",
             "is read with a standard deviation of %.4f mm, rounding apart; 95 times in "
             "100 it lies between %.4f and %.4f mm.",
             e->dial_sd_mm, e->dial_sd_low_mm, e->dial_sd_high_mm);
    page_say(out, "  Angles        ",
             "are read with %.3f crank degrees, between %.3f and %.3f.", e->angle_sd_deg,
             e->angle_sd_low_deg, e->angle_sd_high_deg);
    page_say(out, "  Seen in       ",
             "%zu sweep%s: %zu readings show the dial alone, as the plunger stood still, "
             "%zu the angle more than the dial.",
             e->sweeps, e->sweeps == 1 ? "" : "s", e->flat_readings, e->flank_readings);
    page_say(out, "  Table         ",
             "Enter in the table of engines, dial_sd_mm: %.4f, angle_sd_deg: %.3f. They "
             "hold for these dials, this wheel and these hands.",
             e->dial_sd_mm, e->angle_sd_deg);
}

void reading_rows(FILE *out, const reading *r, int guard)
{
    fputs("setup,lobes,angle_sd_deg,dial_sd_mm\n", out);
    for (size_t i = 0; i < dialarc_setups_count(r->setups); i++) {
        csv_text(out, dialarc_setups_name(r->setups, i), guard);
        csv_number(out, dialarc_setups_get(r->setups, i)->lobes, 0);
        csv_number(out, r->errors.angle_sd_deg, 3);
        csv_number(out, r->errors.dial_sd_mm, 4);
        fputc('\n', out);
    }
}
