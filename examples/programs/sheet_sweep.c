/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet_sweep.h"

#include "picture.h"
#include "report.h"

void sheet_sweep(sheet *s, const char *engine, const char *file,
                 const dialarc_streamed *it)
{
    const dialarc_sweep_record *record = it->record;
    const dialarc_timing *timing = &it->result->timing;
    const dialarc_decision *decision = &it->result->decision;
    sheet_row(s, record->name, engine, timing->lift_mm, timing->lift_u_mm,
              decision->verdict, &timing->findings);
    report_head(&s->page, engine, record);
    sheet_verdict(s, decision->verdict);
    report_setting(&s->page, record, timing, decision);
    sheet_pictures(s);
    if (decision->verdict != DIALARC_VERDICT_UNUSABLE)
        picture_setting(s->page.file, &record->setup, timing->lift_mm, timing->lift_u_mm);
    picture_sweep(s->page.file, record, timing);
    picture_residuals(s->page.file, record, it->residual_mm);
    sheet_reasons(s);
    report_reasons(&s->page, file, record, timing, decision);
    sheet_close(s);
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
