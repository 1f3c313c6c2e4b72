/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>

#include "html.h"
#include "picture.h"
#include "report.h"
#include "words.h"

/* A sign and a style for each verdict, which the word beside it says too. */
static const struct {
    const char *sign, *style;
} look_of[SHEET_VERDICTS] = {
    [DIALARC_VERDICT_NONE] = {"&#8212;", "none"},
    [DIALARC_VERDICT_IN] = {"&#10003;", "good"},
    [DIALARC_VERDICT_LOW] = {"&#9660;", "late"},
    [DIALARC_VERDICT_HIGH] = {"&#9650;", "early"},
    [DIALARC_VERDICT_UNDECIDED] = {"?", "none"},
    [DIALARC_VERDICT_UNUSABLE] = {"&#8212;", "none"},
};

int sheet_begin(sheet *s)
{
    *s = (sheet){.rows = tmpfile()};
    s->page = html_writer(s->rows ? tmpfile() : NULL);
    s->workspace = s->page.file ? dialarc_workspace_new() : NULL;
    if (s->page.file && !s->workspace)
        errno = ENOMEM;
    return s->workspace ? 0 : -1;
}

void sheet_end(sheet *s)
{
    if (s->rows)
        fclose(s->rows);
    if (s->page.file)
        fclose(s->page.file);
    dialarc_workspace_free(s->workspace);
    free(s->residual_mm);
}

/* "&#10003; GOOD" */
static void write_verdict(FILE *out, const char *element, const char *style,
                          dialarc_verdict verdict)
{
    fprintf(out, "<%s class=\"%s%s\">%s %s</%s>\n", element, style,
            look_of[verdict].style, look_of[verdict].sign, words_of_verdict(verdict),
            element);
}

/* A row of the summary, which leads to the sheet. */
static void add_row(sheet *s, const char *name, const char *engine,
                    const dialarc_timing *timing, dialarc_verdict verdict)
{
    const dialarc_findings *findings = &timing->findings;
    fprintf(s->rows, "<tr><th scope=\"row\"><a href=\"#part-%zu\">", ++s->sheets);
    html_text(s->rows, name);
    fputs("</a>", s->rows);
    if (engine) {
        fputs("<br>", s->rows);
        html_text(s->rows, engine);
    }
    fputs("</th>", s->rows);
    if (verdict == DIALARC_VERDICT_UNUSABLE || isnan(timing->lift_mm))
        fputs("<td>&#8212;</td>", s->rows);
    else
        fprintf(s->rows, "<td>%.3f &#177;&#160;%.3f</td>", timing->lift_mm,
                timing->lift_u_mm);
    write_verdict(s->rows, "td", "", verdict);
    fprintf(s->rows, "<td>%s</td></tr>\n",
            findings->present ? dialarc_severity_text(dialarc_findings_worst(findings))
                              : "");
    s->verdicts[verdict]++;
}

static int make_room(sheet *s, size_t n)
{
    if (n <= s->room)
        return 0;
    double *more = realloc(s->residual_mm, n * sizeof *more);
    if (!more)
        return -1;
    s->residual_mm = more;
    s->room = n;
    return 0;
}

static void end_sheet(sheet *s)
{
    html_end_list(&s->page);
    fputs("</div>\n<p class=\"see\">Before you touch the engine: read CAUTION at the end "
          "of these pages.</p>\n",
          s->page.file);
}

/* The same timing as before, with the residuals, which the stream does not keep. */
static int add_pictures(sheet *s, const dialarc_sweep_record *record,
                        const dialarc_timing *timing)
{
    dialarc_timing again;
    if (make_room(s, record->sweep.n) != 0)
        return -1;
    dialarc_status status = dialarc_timing_estimate(
        s->workspace, &record->setup, &record->sweep, s->residual_mm, &again);
    if (status == DIALARC_ERR_NO_MEMORY)
        return -1;
    picture_sweep(s->page.file, record, timing);
    if (status >= DIALARC_OK)
        picture_residuals(s->page.file, record, s->residual_mm);
    return 0;
}

int sheet_add(sheet *s, const char *engine, const char *file,
              const dialarc_sweep_record *record, const dialarc_timing *timing,
              const dialarc_decision *decision)
{
    FILE *out = s->page.file;
    add_row(s, record->name, engine, timing, decision->verdict);
    report_head(&s->page, engine, record);
    write_verdict(out, "p", "verdict ", decision->verdict);
    report_setting(&s->page, record, timing, decision);
    html_end_list(&s->page);
    fputs("<div class=\"figures\">\n", out);
    if (decision->verdict != DIALARC_VERDICT_UNUSABLE)
        picture_setting(out, &record->setup, timing);
    int failed = add_pictures(s, record, timing);
    fputs("</div>\n<div class=\"reasons\">\n", out);
    report_reasons(&s->page, file, record, timing, decision);
    end_sheet(s);
    return failed;
}

void sheet_add_joint(sheet *s, const char *engine, const dialarc_setup *setup,
                     const dialarc_look *look, const dialarc_joint *joint,
                     const dialarc_timing *timing, const dialarc_decision *decision)
{
    FILE *out = s->page.file;
    add_row(s, engine, NULL, timing, decision->verdict);
    report_joint_head(&s->page, engine, joint);
    write_verdict(out, "p", "verdict ", decision->verdict);
    report_joint_setting(&s->page, setup, joint, timing, decision);
    html_end_list(&s->page);
    fputs("<div class=\"figures\">\n", out);
    if (decision->verdict != DIALARC_VERDICT_UNUSABLE)
        picture_setting(out, setup, timing);
    fputs("</div>\n<div class=\"reasons\">\n", out);
    report_joint_reasons(&s->page, setup, look, joint, timing);
    end_sheet(s);
}

/* How many there are of each verdict, and a row for each sheet. */
static void write_summary_head(const sheet *s, FILE *out)
{
    const char *separator = "";
    fputs("<section class=\"summary\">\n<h2>SUMMARY</h2>\n<p>", out);
    for (int k = 0; k < SHEET_VERDICTS; k++) {
        size_t n = s->verdicts[k];
        if (k == DIALARC_VERDICT_NONE) /* the word is that of what is unusable */
            n = 0;
        if (k == DIALARC_VERDICT_UNUSABLE)
            n += s->verdicts[DIALARC_VERDICT_NONE];
        if (n == 0)
            continue;
        fprintf(out, "%s%zu %s", separator, n, words_of_verdict((dialarc_verdict)k));
        separator = ", ";
    }
    fputs(" of ", out);
    fprintf(out, "%zu.</p>\n", s->sheets);
    fputs("<table>\n<thead><tr><th scope=\"col\">Sweep, engine</th><th "
          "scope=\"col\">Lift, mm</th><th scope=\"col\">Verdict</th><th "
          "scope=\"col\">Worst finding</th></tr></thead>\n<tbody>\n",
          out);
}

static int copy(FILE *from, FILE *to)
{
    char block[8192];
    size_t got;
    if (fflush(from) != 0 || ferror(from))
        return -1;
    rewind(from);
    while ((got = fread(block, 1, sizeof block, from)) > 0)
        fwrite(block, 1, got, to);
    return ferror(from) ? -1 : 0;
}

int sheet_write(sheet *s, FILE *out)
{
    html_end_article(&s->page);
    html_begin(out, "dialarc: the setting of the injection pump");
    if (s->sheets > 1) {
        write_summary_head(s, out);
        if (copy(s->rows, out) != 0)
            return -1;
        fputs("</tbody>\n</table>\n</section>\n", out);
    }
    if (copy(s->page.file, out) != 0)
        return -1;
    html_end(out);
    return 0;
}
