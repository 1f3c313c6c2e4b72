/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "together.h"

#include <stdio.h>
#include <stdlib.h>

#include "shown.h"

#define TOLD 5 /* engines of which a message tells */

int together_begin(together *t, const dialarc_setups *setups, int latest)
{
    size_t n = dialarc_setups_count(setups);
    *t = (together){.setups = setups, .latest = latest, .engines = n};
    t->engine = calloc(n ? n : 1, sizeof *t->engine);
    return t->engine ? 0 : -1;
}

void together_end(together *t)
{
    for (size_t i = 0; t->engine && i < t->engines; i++) {
        free(t->engine[i].look);
        free(t->engine[i].latest);
    }
    free(t->engine);
}

static int grow(together_engine *e)
{
    size_t room = e->room ? 2 * e->room : 2;
    dialarc_look *more = realloc(e->look, room * sizeof *more);
    if (!more)
        return -1;
    e->look = more;
    e->room = room;
    return 0;
}

/* What any of the sweeps has found stands; the rows of one are none of another. */
static void add_findings(dialarc_findings *all, const dialarc_findings *one)
{
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++) {
        all->row[k] = DIALARC_NO_ROW;
        if (!dialarc_findings_has(one, (dialarc_finding)k))
            continue;
        if (!dialarc_findings_has(all, (dialarc_finding)k) ||
            all->severity[k] < one->severity[k])
            all->severity[k] = one->severity[k];
        all->present |= UINT32_C(1) << k;
    }
}

static int keep_latest(together_engine *e, const dialarc_timing *timing)
{
    dialarc_timing before = {.readings_used = 0};
    if (e->latest)
        before = *e->latest;
    else if (!(e->latest = malloc(sizeof *e->latest)))
        return -1;
    *e->latest = *timing;
    add_findings(&before.findings, &timing->findings);
    e->latest->findings = before.findings;
    e->latest->readings_used += before.readings_used;
    e->latest->readings_rejected += before.readings_rejected;
    return 0;
}

int together_add(together *t, size_t setup_index, const dialarc_timing *timing)
{
    together_engine *e = &t->engine[setup_index];
    dialarc_look look;
    if (dialarc_joint_look(timing, &look) != DIALARC_OK)
        return 0;
    e->sweeps++;
    if (e->rows == DIALARC_LOOKS_MAX)
        return 0;
    if (e->rows == e->room && grow(e) != 0)
        return -1;
    e->look[e->rows++] = look;
    return t->latest ? keep_latest(e, timing) : 0;
}

dialarc_status together_pool(const together *t, size_t setup_index, dialarc_joint *joint,
                             dialarc_timing *timing, dialarc_decision *decision)
{
    const together_engine *e = &t->engine[setup_index];
    const dialarc_setup *setup = dialarc_setups_get(t->setups, setup_index);
    dialarc_status status = dialarc_joint_assess(setup, e->rows, e->look, joint);
    if (status == DIALARC_OK)
        status = dialarc_joint_timing(e->latest, joint, timing);
    if (status == DIALARC_OK)
        status = dialarc_joint_judge(setup, timing, joint, decision);
    return status;
}

static void tell_one(const together *t, size_t i, const char *who, writer *page)
{
    const together_engine *e = &t->engine[i];
    const dialarc_setup *setup = dialarc_setups_get(t->setups, i);
    const char *words;
    char safe[SHOWN_SIZE];
    dialarc_joint joint;
    if (dialarc_joint_assess(setup, e->rows, e->look, &joint) != DIALARC_OK)
        return;
    shown(dialarc_setups_name(t->setups, i), safe, sizeof safe);
    words =
        joint.together
            ? "may be of one setting; if they are, --together judges them as one, and "
              "counts how often was looked"
            : "are not of one setting, or something moved between them";
    if (page)
        writer_say(page, WRITER_PARAGRAPH, "%.127s: its %zu sweeps %s.", safe, e->sweeps,
                   words);
    else
        fprintf(stderr, "dialarc %s: %s: its %zu sweeps %s\n", who, safe, e->sweeps,
                words);
}

void together_tell(const together *t, const char *who, writer *page)
{
    size_t several = 0;
    for (size_t i = 0; i < t->engines; i++) {
        if (t->engine[i].rows < 2 || several++ >= TOLD)
            continue;
        if (page && several == 1)
            writer_head(page, "SEVERAL SWEEPS OF ONE ENGINE");
        tell_one(t, i, who, page);
    }
    if (several > TOLD && page)
        writer_say(page, WRITER_PARAGRAPH, "And %zu more engines have several sweeps.",
                   several - TOLD);
    else if (several > TOLD)
        fprintf(stderr, "dialarc %s: and %zu more engines have several sweeps\n", who,
                several - TOLD);
}
