/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Setting without a degree wheel: from the rounds so far to the verdict and the next aim.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>

#include "commands.h"
#include "complain.h"
#include "output.h"
#include "page.h"
#include "tables.h"

typedef struct wishes {
    const char *out, *dials;
} wishes;

typedef struct bench {
    const char *who, *table;
    dialarc_setups *setups;
    dialarc_jobs *jobs;
} bench;

static const char read_again[] =
    "turn the engine two full crank turns by hand, read minimum and TDC again, and add "
    "the row to the table.";

static void say_latest(FILE *out, const dialarc_job *job, const dialarc_plan *plan)
{
    char place[64];
    if (!isnan(plan->lift_mm))
        page_say(out, "  Latest        ",
                 "round %d, %s: lift at %s %.3f mm; 95 times in 100 the truth is within "
                 "%.3f mm of that",
                 job->round[job->n - 1].round, plan->tight ? "tight" : "loose",
                 page_place(&job->setup, place), plan->lift_mm, plan->lift_u_mm);
    page_verdict(out, &job->setup, &plan->decision);
    if (!plan->tight && !isnan(plan->decision.probability_in))
        page_say(out, "                ", "That is, once it has been tightened.");
}

static void say_shift(FILE *out, const dialarc_plan *plan)
{
    if (plan->shifts == 0)
        page_say(
            out, "  Tightening    ",
            "No round has been read both loose and tight yet. Taken as usual: it may "
            "shift the lift either way, by 0.01 to 0.02 mm.");
    else if (!isnan(plan->shift_mm))
        page_say(
            out, "  Tightening    ",
            "%s the lift by %.3f mm, give or take %.3f mm (learned from %zu round%s).",
            plan->shift_mm < 0.0 ? "lowers" : "raises", fabs(plan->shift_mm),
            plan->shift_sd_mm, plan->shifts, plan->shifts == 1 ? "" : "s");
}

/* The way to mid-window, and what comes after it. */
static void say_way(FILE *out, int *step, const dialarc_job *job,
                    const dialarc_plan *plan)
{
    char lead[16];
    page_turn(out, page_step(step, lead), &job->setup, &plan->decision);
    page_aim(out, page_step(step, lead), &job->setup, &plan->decision, DIALARC_UNKNOWN);
    page_say(out, page_step(step, lead), "Tighten, %s", read_again);
}

/* A tight setting that may or may not be good. */
static void say_weakest(FILE *out, int *step, const dialarc_job *job,
                        const dialarc_plan *plan)
{
    char lead[16];
    const dialarc_decision *d = &plan->decision;
    page_say(
        out, page_step(step, lead), "%s",
        d->advice == DIALARC_ADVICE_READ_AGAIN
            ? "Before anything is moved, read minimum and TDC once or twice more and "
              "add the rows to this round."
            : dialarc_advice_text(d->advice));
    page_tdc(out, "     ", &job->setup, d);
    if (!d->worth_turning) {
        page_leave(out, page_step(step, lead), d);
        return;
    }
    page_say(out, "     ", "If it is to be set anew all the same:");
    say_way(out, step, job, plan);
}

static void say_steps(FILE *out, const dialarc_job *job, const dialarc_plan *plan)
{
    char lead[16];
    int step = 0;
    const dialarc_decision *d = &plan->decision;
    page_caution(out, &step, &plan->findings);
    if (d->advice == DIALARC_ADVICE_TURN)
        say_way(out, &step, job, plan);
    else if (d->advice == DIALARC_ADVICE_LEAVE)
        page_leave(out, page_step(&step, lead), d);
    else if (d->advice == DIALARC_ADVICE_TIGHTEN)
        page_say(out, page_step(&step, lead),
                 "This setting is as good as another attempt would make it. Tighten, %s",
                 read_again);
    else {
        say_weakest(out, &step, job, plan);
        return;
    }
    page_tdc(out, "     ", &job->setup, d);
}

static void say_next(FILE *out, const dialarc_job *job, const dialarc_plan *plan)
{
    fputs("\n  What to do next\n", out);
    switch (plan->decision.verdict) {
    case DIALARC_VERDICT_IN:
        page_say(out, "  1. ",
                 "Leave the pump as it is. Turn the engine two full crank "
                 "turns by hand and read once more.");
        return;
    case DIALARC_VERDICT_UNUSABLE:
        page_say(out, "  1. ",
                 "Do not set the pump by these readings. Put right what the "
                 "findings below say, and read this round again.");
        return;
    case DIALARC_VERDICT_NONE:
        page_no_window(out, "  1. ");
        return;
    case DIALARC_VERDICT_UNDECIDED:
    case DIALARC_VERDICT_LOW:
    case DIALARC_VERDICT_HIGH:
        say_steps(out, job, plan);
    }
}

static int plan_one(const bench *b, FILE *out, const dialarc_job *job)
{
    dialarc_plan plan;
    dialarc_status status = dialarc_plan_rounds(&job->setup, job->n, job->round, &plan);
    if (status < DIALARC_OK)
        return complain(b->who, job->name, dialarc_status_text(status));
    page_head(out, "JOB %s, engine %s", job->name,
              dialarc_setups_name(b->setups, job->setup_index));
    say_latest(out, job, &plan);
    say_shift(out, &plan);
    say_next(out, job, &plan);
    page_findings(out, &job->setup, &plan.findings, "row", job->line,
                  tables_name(b->table));
    if (plan.decision.verdict != DIALARC_VERDICT_UNUSABLE)
        return DONE;
    complain_unusable(b->who, job->name, &plan.findings);
    return SOME_UNUSABLE;
}

static int fill(output *out, void *job)
{
    const bench *b = job;
    int result = DONE;
    for (size_t i = 0; i < dialarc_jobs_count(b->jobs); i++) {
        int now = plan_one(b, out->file, dialarc_jobs_get(b->jobs, i));
        if (now == FAILED)
            return FAILED;
        result = now == DONE ? result : now;
    }
    page_words(out->file);
    page_cautions(out->file);
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
    int result = tables_setups(who, operand[0], w->dials, &b.setups);
    if (result == DONE)
        result = tables_read(who, b.table, use_jobs, &b);
    if (result == DONE && dialarc_jobs_count(b.jobs) == 0)
        result =
            complain(who, tables_name(b.table), "the table holds no job, only a header");
    if (result == DONE)
        result = output_write(who, w->out, fill, &b);
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
