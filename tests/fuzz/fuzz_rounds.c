/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any bytes as a rounds table; the jobs of an accepted one are planned. */
#include <dialarc/table_rounds.h>

#include "fuzz_table.h"

const char fuzz_name[] = "rounds";

static void check_plan(const dialarc_job *job)
{
    dialarc_plan plan = {.lift_mm = -7.0};
    dialarc_status status = dialarc_plan_rounds(&job->setup, job->n, job->round, &plan);
    FUZZ_CHECK(status >= DIALARC_OK || plan.lift_mm == -7.0);
    if (status < DIALARC_OK)
        return;
    FUZZ_CHECK(!(plan.lift_u_mm < 0.0) && !(plan.shift_sd_mm < 0.0));
    FUZZ_CHECK(plan.shifts <= job->n);
    FUZZ_CHECK(plan.findings.present >> DIALARC_FINDING_COUNT == 0);
}

static void check_job(const dialarc_job *job, const dialarc_setups *setups, size_t size)
{
    FUZZ_CHECK(job->name && job->name[0] && strlen(job->name) < DIALARC_NAME_SIZE);
    FUZZ_CHECK(job->setup_index < dialarc_setups_count(setups));
    FUZZ_CHECK(job->n >= 1 && job->n <= size);
    for (size_t i = 0; i < job->n; i++) {
        const dialarc_round *r = &job->round[i];
        FUZZ_CHECK(isfinite(r->minimum_mm) && isfinite(r->tdc_mm) && r->round >= 1);
        FUZZ_CHECK(i == 0 || r->round >= r[-1].round);
        FUZZ_CHECK(job->line[i] > (i ? job->line[i - 1] : 1));
    }
    check_plan(job);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 1)
        return 0;
    const dialarc_setups *setups = fuzz_setups(data[0] >> 7);
    fuzz_source source = fuzz_table(data + 1, size - 1, 0);
    dialarc_jobs *jobs = NULL, *pieces = NULL;
    dialarc_error error = {0}, again[FUZZ_ERRORS] = {fuzz_room(data[0])};
    dialarc_status status = dialarc_jobs_read(fuzz_read, &source, setups, &jobs, &error);
    fuzz_check_error(status, &error, size);
    FUZZ_CHECK((jobs != NULL) == (status == DIALARC_OK));
    for (size_t i = 0; i < dialarc_jobs_count(jobs); i++)
        check_job(dialarc_jobs_get(jobs, i), setups, size);
    if (data[0] & 127) {
        source = fuzz_table(data + 1, size - 1, data[0] & 127);
        dialarc_jobs_read(fuzz_read, &source, setups, &pieces, again);
        fuzz_same_error(&error, again);
        FUZZ_CHECK(dialarc_jobs_count(jobs) == dialarc_jobs_count(pieces));
    }
    dialarc_jobs_free(jobs);
    dialarc_jobs_free(pieces);
    return 0;
}
