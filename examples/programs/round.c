/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Setting without a degree wheel: from the rounds so far to the verdict and the next aim.
 */
#include <dialarc.h>
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "output.h"
#include "page.h"
#include "picture.h"
#include "sheet.h"
#include "tables.h"
#include "words.h"

typedef struct wishes {
    const char *out, *dials, *page;
} wishes;

typedef struct bench {
    const char *who, *table;
    dialarc_setups *setups;
    dialarc_jobs *jobs;
    sheet *sheet; /* of the HTML page, or NULL */
    writer *page;
} bench;

static void say_latest(writer *w, const dialarc_job *job, const dialarc_plan *plan)
{
    char place[64];
    if (!isnan(plan->lift_mm))
        writer_fact(
            w, "Latest",
            "round %d, %s: lift at %s %.3f mm; 95 times in 100 the truth is within "
            "%.3f mm of that",
            job->round[job->n - 1].round, plan->tight ? "tight" : "loose",
            page_place(&job->setup, place), plan->lift_mm, plan->lift_u_mm);
    words_verdict(w, &job->setup, &plan->decision);
    if (!plan->tight && !isnan(plan->decision.probability_in))
        writer_say(w, WRITER_MORE, "That is, once it has been tightened.");
}

static void say_shift(writer *w, const dialarc_plan *plan)
{
    if (plan->shifts == 0)
        writer_fact(
            w, "Tightening",
            "No round has been read both loose and tight yet. Taken as usual: it may "
            "shift the lift either way, by 0.01 to 0.02 mm.");
    else if (!isnan(plan->shift_mm))
        writer_fact(
            w, "Tightening",
            "%s the lift by %.3f mm, give or take %.3f mm (learned from %zu round%s).",
            plan->shift_mm < 0.0 ? "lowers" : "raises", fabs(plan->shift_mm),
            plan->shift_sd_mm, plan->shifts, plan->shifts == 1 ? "" : "s");
}

static void draw(sheet *s, const dialarc_job *job, const dialarc_plan *plan)
{
    sheet_pictures(s);
    if (plan->decision.verdict != DIALARC_VERDICT_UNUSABLE)
        picture_setting(s->page.file, &job->setup, plan->lift_mm, plan->lift_u_mm);
    picture_rounds(s->page.file, job);
    sheet_reasons(s);
}

static int plan_one(const bench *b, const dialarc_job *job)
{
    dialarc_plan plan;
    dialarc_status status = dialarc_plan_rounds(&job->setup, job->n, job->round, &plan);
    if (status < DIALARC_OK)
        return complain(b->who, job->name, dialarc_status_text(status));
    writer *w = b->page;
    const char *engine = dialarc_setups_name(b->setups, job->setup_index);
    if (b->sheet)
        sheet_row(b->sheet, job->name, engine, plan.lift_mm, plan.lift_u_mm,
                  plan.decision.verdict, &plan.findings);
    writer_head(w, "JOB %s, engine %s", job->name, engine);
    if (b->sheet)
        sheet_verdict(b->sheet, plan.decision.verdict);
    say_latest(w, job, &plan);
    say_shift(w, &plan);
    words_next_round(w, &job->setup, &plan);
    if (b->sheet)
        draw(b->sheet, job, &plan);
    words_findings(w, &job->setup, &plan.findings, "row", job->line,
                   tables_name(b->table));
    if (b->sheet)
        sheet_close(b->sheet);
    if (plan.decision.verdict != DIALARC_VERDICT_UNUSABLE)
        return DONE;
    complain_unusable(b->who, job->name, &plan.findings);
    return SOME_UNUSABLE;
}

static int plan_all(const bench *b)
{
    int result = DONE;
    for (size_t i = 0; i < dialarc_jobs_count(b->jobs); i++) {
        int now = plan_one(b, dialarc_jobs_get(b->jobs, i));
        if (now == FAILED)
            return FAILED;
        result = now == DONE ? result : now;
    }
    words_meanings(b->page);
    words_cautions(b->page);
    return result;
}

static int fill(output *out, void *job)
{
    bench *b = job;
    writer page = page_writer(out->file);
    b->page = &page;
    return plan_all(b);
}

static int fill_html(output *out, void *job)
{
    static const char *const columns[] = {"Job, engine", SHEET_SETTING_COLUMNS};
    bench *b = job;
    sheet page;
    int begun = sheet_begin(&page, SHEET_OF_SETTINGS, columns) == 0, result = DONE;
    b->sheet = &page;
    b->page = &page.page;
    if (begun)
        result = plan_all(b);
    if (!begun || (result != FAILED && sheet_write(&page, out->file) != 0))
        result = complain(b->who, "temporary file", strerror(errno));
    sheet_end(&page);
    return result;
}

static dialarc_status use_jobs(input *in, void *job, dialarc_error *error)
{
    bench *b = job;
    return dialarc_jobs_read(input_read, in, b->setups, &b->jobs, error);
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    bench b = {.who = who, .table = operand[1]};
    if (w->page && w->out)
        return complain(who, "--page", "does not go with --out");
    int result = tables_setups(who, operand[0], w->dials, &b.setups);
    if (result == DONE)
        result = tables_read(who, b.table, use_jobs, &b);
    if (result == DONE && dialarc_jobs_count(b.jobs) == 0)
        result =
            complain(who, tables_name(b.table), "the table holds no job, only a header");
    if (result == DONE)
        result = w->page ? output_write(who, w->page, fill_html, &b)
                         : output_write(who, w->out, fill, &b);
    dialarc_jobs_free(b.jobs);
    dialarc_setups_free(b.setups);
    return result;
}

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"ROUNDS", "table of readings at the minimum and at TDC, loose and tight"},
    {0},
};

static const command_option options[] = {
    {"page", "FILE", OPTION_TEXT, offsetof(wishes, page), 0, 0,
     "the same page with pictures as one HTML file: an A4 sheet a job"},
    COMMAND_DIALS(wishes),
    COMMAND_OUT(wishes),
    {0},
};

const command round_command = {
    .name = "round",
    .brief = "Plan the next round of a job done without a degree wheel.",
    .operand = operands,
    .option = options,
    .more = COMMAND_TABLES,
    .statuses = "0 every job was assessed, 1 some are unusable and are listed, 2 nothing "
                "was written.",
    .size = sizeof(wishes),
    .run = run,
};
