/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Setting without a degree wheel: from the rounds so far to the verdict and the next aim.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "output.h"
#include "page.h"
#include "program.h"

static const char program[] = "plan_round";

static const char usage[] =
    "usage: plan_round SETUPS ROUNDS\n"
    "  SETUPS    table of engines (CSV), - for standard input\n"
    "  ROUNDS    table of minimum and TDC readings (CSV), - for standard input\n"
    "exit status: 0 every job was assessed, 1 some are unusable, 2 nothing was written\n";

static void say_latest(FILE *out, const dialarc_job *job, const dialarc_plan *plan)
{
    if (!isnan(plan->lift_mm))
        page_say(out, "  Latest        ",
                 "round %d, %s: lift at TDC %.3f mm; 95 times in 100 the truth is within "
                 "%.3f mm of that",
                 job->round[job->n - 1].round, plan->tight ? "tight" : "loose",
                 plan->lift_mm, plan->lift_u_mm);
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

static void say_steps(FILE *out, const dialarc_job *job, const dialarc_plan *plan)
{
    char lead[16];
    int step = 0;
    page_caution(out, &step, &plan->findings);
    if (plan->decision.verdict == DIALARC_VERDICT_UNDECIDED)
        page_say(out, page_step(&step, lead), "%s",
                 plan->tight
                     ? "Before anything is moved, read minimum and TDC once or twice "
                       "more and add the rows to this round. If it is to be set anew "
                       "all the same:"
                     : "If the dial already shows what is aimed at below, tighten and "
                       "read this round again. Otherwise:");
    page_turn(out, page_step(&step, lead), &job->setup, &plan->decision);
    page_aim(out, page_step(&step, lead), &job->setup, &plan->decision, DIALARC_UNKNOWN);
    page_say(
        out, page_step(&step, lead),
        "Tighten, turn the engine two full crank turns by hand, read minimum and TDC "
        "again, and add the row to the table.");
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

static int plan_all(FILE *out, const char *file, const dialarc_setups *setups,
                    const dialarc_jobs *jobs)
{
    int result = DONE;
    for (size_t i = 0; i < dialarc_jobs_count(jobs); i++) {
        const dialarc_job *job = dialarc_jobs_get(jobs, i);
        dialarc_plan plan;
        dialarc_status status =
            dialarc_plan_rounds(&job->setup, job->n, job->round, &plan);
        if (status < DIALARC_OK) {
            fprintf(stderr, "plan_round: job %s: %s\n", job->name,
                    dialarc_status_text(status));
            return FAILED;
        }
        page_head(out, "JOB %s, engine %s", job->name,
                  dialarc_setups_name(setups, job->setup_index));
        say_latest(out, job, &plan);
        say_shift(out, &plan);
        say_next(out, job, &plan);
        page_findings(out, &plan.findings, "row", job->line, file);
        if (plan.decision.verdict == DIALARC_VERDICT_UNUSABLE) {
            fprintf(stderr, "plan_round: unusable: %s\n", job->name);
            result = SOME_UNUSABLE;
        }
    }
    page_words(out);
    page_cautions(out);
    return result;
}

static int run(const char *path, const dialarc_setups *setups, const dialarc_jobs *jobs)
{
    output out;
    const char *file = program_table_name(path);
    if (dialarc_jobs_count(jobs) == 0)
        return program_fail(program, file, "the table holds no job, only a header");
    if (output_open(&out, NULL))
        return program_fail(program, "standard output", "cannot be written");
    int result = plan_all(out.file, file, setups, jobs);
    if (result == FAILED)
        output_discard(&out);
    else if (output_finish(&out))
        result = program_fail(program, "standard output", "cannot be written");
    return result;
}

static int plan(const char *setups_path, const char *rounds_path)
{
    dialarc_error error = {0};
    dialarc_setups *setups = NULL;
    dialarc_jobs *jobs = NULL;
    int result = program_read_setups(program, setups_path, &setups);
    if (result != DONE)
        return result;
    dialarc_status status =
        strcmp(rounds_path, "-") == 0
            ? dialarc_jobs_read(dialarc_read_file, stdin, setups, &jobs, &error)
            : dialarc_jobs_load(rounds_path, setups, &jobs, &error);
    result = status == DIALARC_OK ? run(rounds_path, setups, jobs)
                                  : program_fail_table(program, rounds_path, &error);
    dialarc_jobs_free(jobs);
    dialarc_setups_free(setups);
    return result;
}

int main(int argc, char **argv)
{
    output_guard();
    if (argc == 2 && strcmp(argv[1], "--help") == 0) {
        fputs(usage, stdout);
        return DONE;
    }
    if (argc != 3 || !program_two_tables(argv[1], argv[2]) ||
        (argv[1][0] == '-' && argv[1][1])) {
        fputs(usage, stderr);
        return FAILED;
    }
    return plan(argv[1], argv[2]);
}
