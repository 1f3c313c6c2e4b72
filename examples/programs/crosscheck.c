/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * One setting seen by several witnesses: whether they agree, what they say together, and
 * which one does not fit.
 */
#include <dialarc.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "crosscheck_page.h"
#include "csv.h"
#include "output.h"

#define COVERED 1.96 /* 95 % of a normal distribution */

typedef struct wishes {
    const char *cams, *cam, *out;
    int csv, guard;
} wishes;

typedef struct bench {
    const wishes *wishes;
    crosscheck_page page;
} bench;

static void say_csv(FILE *out, const crosscheck_page *p, int guard)
{
    const dialarc_crosscheck *c = &p->all;
    fputs("setup,witness,advance_crank_deg,advance_u_crank_deg,own_sd_deg,mark_sd_deg,"
          "wheel_sd_deg,cam_sd_deg,off_crank_deg,off_u_crank_deg,delay_ms,delay_u_ms,"
          "together_crank_deg,together_u_crank_deg,chi_square,agree_probability\r\n",
          out);
    for (size_t i = 0; i < p->n; i++) {
        const crosscheck_seen *s = &p->seen[i];
        const dialarc_witness *w = &s->witness;
        const double unknown = DIALARC_UNKNOWN;
        csv_text(out, p->engine.name, guard);
        fputc(',', out);
        csv_text(out, s->name, guard);
        csv_number(out, w->advance_crank_deg, 3);
        csv_number(out, COVERED * s->sd_deg, 3);
        csv_number(out, w->own_sd_crank_deg, 3);
        csv_number(out, w->mark_sd_crank_deg, 3);
        csv_number(out, w->wheel_sd_crank_deg, 3);
        csv_number(out, w->cam_sd_crank_deg, 3);
        csv_number(out, p->n > 1 ? p->off_deg[i] : unknown, 3);
        csv_number(out, p->n > 1 ? COVERED * p->off_sd_deg[i] : unknown, 3);
        csv_number(out, s->running ? s->rest.delay_ms : unknown, 3);
        csv_number(out, s->running ? COVERED * s->rest.delay_sd_ms : unknown, 3);
        csv_number(out, c->advance_crank_deg, 3);
        csv_number(out, COVERED * c->sd_crank_deg, 3);
        csv_number(out, p->n > 1 ? c->chi_square : unknown, 2);
        csv_number(out, c->agree_probability, 4);
        fputs("\r\n", out);
    }
}

static int fill(output *out, void *job)
{
    const bench *b = job;
    if (b->wishes->csv)
        say_csv(out->file, &b->page, b->wishes->guard);
    else
        crosscheck_page_say(out->file, &b->page);
    return b->page.all.agree ? DONE : SOME_UNUSABLE;
}

/* The witnesses beside each other, and without the one that is farthest. */
static dialarc_status compare(crosscheck_page *p)
{
    dialarc_witness all[DIALARC_WITNESSES_MAX], others[DIALARC_WITNESSES_MAX];
    size_t left = 0;
    for (size_t i = 0; i < p->n; i++)
        all[i] = p->seen[i].witness;
    dialarc_status status = dialarc_crosscheck_assess(p->n, all, &p->all);
    for (size_t i = 0; status == DIALARC_OK && p->n > 1 && i < p->n; i++) {
        status =
            dialarc_crosscheck_apart(p->n, all, i, &p->off_deg[i], &p->off_sd_deg[i]);
        if (i != p->all.farthest)
            others[left++] = all[i];
    }
    return status == DIALARC_OK && left > 1
               ? dialarc_crosscheck_assess(left, others, &p->others)
               : status;
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    bench b = {.wishes = w};
    crosscheck_page *p = &b.page;
    int result = engine_open(who, operand[0], operand[1], w->cams, w->cam, &p->engine);
    if (result == DONE)
        result = crosscheck_read(who, operand[2], &p->engine, p->seen, &p->n);
    dialarc_status status = result == DONE ? compare(p) : DIALARC_OK;
    if (status != DIALARC_OK)
        result = complain(who, operand[1], dialarc_status_text(status));
    else if (result == DONE)
        result = output_write(who, w->out, fill, &b);
    engine_close(&p->engine);
    return result;
}

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"ENGINE", "its name; its window must stand in the table, and its cam unless --cams"},
    {"WITNESSES", "table with a row a reading: witness, lift_mm, crank_deg and others"},
    {0},
};

static const command_option options[] = {
    ENGINE_CAM(wishes),
    {"csv", NULL, OPTION_FLAG, offsetof(wishes, csv), 0, 0,
     "a table with a row a witness instead of a page"},
    COMMAND_GUARD(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command crosscheck_command = {
    .name = "crosscheck",
    .brief = "Hold several witnesses of one setting against each other.",
    .operand = operands,
    .option = options,
    .more =
        "The table tells where the plunger was seen at which lift: witness, lift_mm, "
        "crank_deg (below 0 before TDC; blank: at TDC) and, of a running engine, "
        "crank_rpm, at two speeds at least; how well by lift_sd_mm and crank_sd_deg; and "
        "what witnesses share by mark, wheel and mark_sd_deg, wheel_sd_deg, "
        "cam_sd_deg. Rows of another setup are passed over. " COMMAND_TABLES,
    .statuses = "0 done, 1 the witnesses do not agree, or cam or window are not known, 2 "
                "nothing was written.",
    .size = sizeof(wishes),
    .run = run,
};
