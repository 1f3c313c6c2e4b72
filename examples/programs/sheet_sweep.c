/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet_sweep.h"

#include <stdlib.h>

#include "picture.h"
#include "report.h"

/* The residuals, which the stream does not keep: the same estimate once more. */
static dialarc_status find_residuals(const dialarc_sweep_record *record, double *residual)
{
    dialarc_timing again;
    dialarc_workspace *workspace = dialarc_workspace_new();
    dialarc_status status = DIALARC_ERR_NO_MEMORY;
    if (workspace && residual)
        status = dialarc_timing_estimate(workspace, &record->setup, &record->sweep,
                                         residual, &again);
    dialarc_workspace_free(workspace);
    return status;
}

static int add_pictures(sheet *s, const dialarc_sweep_record *record,
                        const dialarc_timing *timing)
{
    double *residual = malloc((record->sweep.n + 1) * sizeof *residual);
    dialarc_status status = find_residuals(record, residual);
    picture_sweep(s->page.file, record, timing);
    if (status >= DIALARC_OK)
        picture_residuals(s->page.file, record, residual);
    free(residual);
    return status == DIALARC_ERR_NO_MEMORY ? -1 : 0;
}

int sheet_sweep(sheet *s, const char *engine, const char *file,
                const dialarc_sweep_record *record, const dialarc_timing *timing,
                const dialarc_decision *decision)
{
    sheet_row(s, record->name, engine, timing->lift_mm, timing->lift_u_mm,
              decision->verdict, &timing->findings);
    report_head(&s->page, engine, record);
    sheet_verdict(s, decision->verdict);
    report_setting(&s->page, record, timing, decision);
    sheet_pictures(s);
    if (decision->verdict != DIALARC_VERDICT_UNUSABLE)
        picture_setting(s->page.file, &record->setup, timing->lift_mm, timing->lift_u_mm);
    int failed = add_pictures(s, record, timing);
    sheet_reasons(s);
    report_reasons(&s->page, file, record, timing, decision);
    sheet_close(s);
    return failed;
}

void sheet_joint(sheet *s, const char *engine, const dialarc_setup *setup,
                 const dialarc_look *look, const dialarc_joint *joint,
                 const dialarc_timing *timing, const dialarc_decision *decision)
{
    sheet_row(s, engine, NULL, timing->lift_mm, timing->lift_u_mm, decision->verdict,
              &timing->findings);
    report_joint_head(&s->page, engine, joint);
    sheet_verdict(s, decision->verdict);
    report_joint_setting(&s->page, setup, joint, timing, decision);
    sheet_pictures(s);
    if (decision->verdict != DIALARC_VERDICT_UNUSABLE)
        picture_setting(s->page.file, setup, timing->lift_mm, timing->lift_u_mm);
    sheet_reasons(s);
    report_joint_reasons(&s->page, setup, look, joint, timing);
    sheet_close(s);
}
