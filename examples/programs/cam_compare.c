/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Two cams of a table beside each other: what one has lost, and whether that is chance.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "commands.h"
#include "complain.h"
#include "csv.h"
#include "output.h"
#include "page.h"
#include "tables.h"

/* Below this the points do not show that anything is worn: as
 * dialarc_camcompare_summary() says. */
#define CHANCE 0.05

/* Where the cam rises or falls by less, mm a pump degree, no shift is told. */
#define LEAST_RATE 0.005

typedef struct wishes {
    const char *out;
    double sd_mm;
    int csv;
} wishes;

typedef struct pair {
    const char *name[2];
    const wishes *wishes;
    const dialarc_cam_record *cam[2]; /* as it should be, as it is */
    double sd_mm;
    dialarc_camwear wear;
} pair;

static dialarc_status use_cams(input *in, void *cams, dialarc_error *error)
{
    return dialarc_cams_read(input_read, in, cams, error);
}

static int say_csv(output *out, const pair *p)
{
    const dialarc_cam_record *made = p->cam[0];
    double *room = calloc(2 * made->n, sizeof *room);
    if (!room)
        return complain_memory("cam compare");
    double *lost = room, *shift = room + made->n;
    dialarc_status status =
        dialarc_camcompare_array(made->table, p->cam[1]->table, 1, LEAST_RATE, made->n,
                                 made->pump_deg, lost, shift);
    fputs("pump_deg,lift_mm,lost_mm,shift_pump_deg\n", out->file);
    for (size_t i = 0; i < made->n && status == DIALARC_OK; i++) {
        fprintf(out->file, "%.4f", made->pump_deg[i]);
        csv_number(out->file, made->lift_mm[i], 5);
        csv_number(out->file, page_round(lost[i], 5), 5);
        csv_number(out->file, isnan(shift[i]) ? shift[i] : page_round(shift[i], 4), 4);
        fputc('\n', out->file);
    }
    free(room);
    return status == DIALARC_OK
               ? DONE
               : complain("cam compare", p->name[1], dialarc_status_text(status));
}

static void say_page(FILE *out, const pair *p)
{
    const dialarc_camwear *w = &p->wear;
    char chance[32];
    page_head(out, "CAMS COMPARED: %s beside %s", p->name[1], p->name[0]);
    page_say(out, "  Total lift    ",
             "%.3f mm less; 95 times in 100 the truth is within %.3f mm of that",
             page_round(w->total_lift_lost_mm, 3), w->total_lift_lost_u_mm);
    page_say(out, "  Greatest loss ", "%.3f mm (within %.3f mm) at %.1f pump degrees",
             page_round(w->greatest_loss_mm, 3), w->greatest_loss_u_mm,
             w->greatest_loss_pump_deg);
    page_say(out, "  Rise          ", "%+.2f pump degrees later (within %.2f)",
             page_round(w->rising_shift_pump_deg, 2), w->rising_shift_u_pump_deg);
    page_say(out, "  Fall          ", "%+.2f pump degrees later (within %.2f)",
             page_round(w->falling_shift_pump_deg, 2), w->falling_shift_u_pump_deg);
    page_say(out, "  Chance        ",
             "%s: so often cams that are alike seem to differ so much, when points err "
             "by %.4f mm. %s",
             page_percent(w->probability_chance, chance), p->sd_mm,
             w->probability_chance < CHANCE ? "The cams differ."
                                            : "The points do not show that they differ.");
}

static int fill(output *out, void *job)
{
    const pair *p = job;
    if (p->wishes->csv)
        return say_csv(out, p);
    say_page(out->file, p);
    return DONE;
}

static int compare(const char *who, pair *p)
{
    double stated = p->wishes->sd_mm, learned = 0.0;
    for (int i = 0; i < 2; i++)
        learned = fmax(learned, p->cam[i]->cam_sd_mm);
    p->sd_mm = isnan(stated) ? learned : stated;
    dialarc_status status = dialarc_camcompare_summary(p->cam[0]->table, p->cam[1]->table,
                                                       1, 0, p->sd_mm, &p->wear);
    return status == DIALARC_OK ? output_write(who, p->wishes->out, fill, p)
                                : complain(who, p->name[1], dialarc_status_text(status));
}

static int run(const char *who, const void *wished, char **operand)
{
    pair p = {.name = {operand[1], operand[2]}, .wishes = wished};
    dialarc_cams *cams = NULL;
    int result = tables_read(who, operand[0], use_cams, &cams);
    for (int i = 0; i < 2 && result == DONE; i++) {
        size_t index = 0;
        if (dialarc_cams_find(cams, p.name[i], &index) != DIALARC_OK)
            result = complain(who, p.name[i], "the table of cams has no such cam");
        else
            p.cam[i] = dialarc_cams_get(cams, index);
    }
    if (result == DONE)
        result = compare(who, &p);
    dialarc_cams_free(cams);
    return result;
}

static const wishes defaults = {.sd_mm = DIALARC_UNKNOWN};

static const command_operand operands[] = {
    {"CAMS", "table of cams, as cam learn writes it"},
    {"MADE", "name of the cam as it should be"},
    {"NOW", "name of the cam as it is"},
    {0},
};

static const command_option options[] = {
    {"sd", "MM", OPTION_NUMBER, offsetof(wishes, sd_mm), 0, 0,
     "standard uncertainty of a point of either cam (the larger cam_sd_mm of the table "
     "if not given)"},
    {"csv", NULL, OPTION_FLAG, offsetof(wishes, csv), 0, 0,
     "what is lost at each point, for other programs, instead of a page"},
    COMMAND_OUT(wishes),
    {0},
};

const command cam_compare_command = {
    .name = "cam compare",
    .brief = "Compare two cams: what one has lost, beyond chance.",
    .operand = operands,
    .option = options,
    .more = "Errors that all points of a cam share, such as those of the dial, are not "
            "counted. " COMMAND_TABLES,
    .statuses = "0 done, 2 nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .run = run,
};
