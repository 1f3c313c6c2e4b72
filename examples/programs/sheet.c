/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sheet.h"

#include <math.h>
#include <stdarg.h>

#include "html.h"
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

int sheet_begin(sheet *s, const char *title, const char *const *columns)
{
    *s = (sheet){.title = title, .columns = columns, .rows = tmpfile()};
    s->page = html_writer(s->rows ? tmpfile() : NULL);
    return s->page.file ? 0 : -1;
}

void sheet_end(sheet *s)
{
    if (s->rows)
        fclose(s->rows);
    if (s->page.file)
        fclose(s->page.file);
}

/* "&#10003; GOOD" */
static void write_verdict(FILE *out, const char *element, const char *style,
                          dialarc_verdict verdict)
{
    fprintf(out, "<%s class=\"%s%s\">%s %s</%s>\n", element, style,
            look_of[verdict].style, look_of[verdict].sign, words_of_verdict(verdict),
            element);
}

void sheet_begin_row(sheet *s, const char *name, const char *engine)
{
    fprintf(s->rows, "<tr><th scope=\"row\"><a href=\"#part-%zu\">", ++s->sheets);
    html_text(s->rows, name);
    fputs("</a>", s->rows);
    if (engine) {
        fputs("<br>", s->rows);
        html_text(s->rows, engine);
    }
    fputs("</th>", s->rows);
}

void sheet_cell(sheet *s, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    fputs("<td>", s->rows);
    vfprintf(s->rows, format, arguments);
    fputs("</td>", s->rows);
    va_end(arguments);
}

void sheet_end_row(sheet *s, const dialarc_findings *findings)
{
    const dialarc_findings listed = words_listed(findings);
    sheet_cell(s, "%s",
               listed.present ? dialarc_severity_text(dialarc_findings_worst(&listed))
                              : "");
    fputs("</tr>\n", s->rows);
}

void sheet_row(sheet *s, const char *name, const char *engine, double lift_mm,
               double lift_u_mm, dialarc_verdict verdict,
               const dialarc_findings *findings)
{
    sheet_begin_row(s, name, engine);
    if (verdict == DIALARC_VERDICT_UNUSABLE || isnan(lift_mm))
        sheet_cell(s, "&#8212;");
    else
        sheet_cell(s, "%.3f &#177;&#160;%.3f", lift_mm, lift_u_mm);
    write_verdict(s->rows, "td", "", verdict);
    sheet_end_row(s, findings);
    s->verdicts[verdict]++;
}

void sheet_verdict(sheet *s, dialarc_verdict verdict)
{
    write_verdict(s->page.file, "p", "verdict ", verdict);
}

void sheet_pictures(sheet *s)
{
    html_end_list(&s->page);
    fputs("<div class=\"figures\">\n", s->page.file);
}

void sheet_reasons(sheet *s)
{
    fputs("</div>\n<div class=\"reasons\">\n", s->page.file);
}

void sheet_close(sheet *s)
{
    html_end_list(&s->page);
    fputs("</div>\n<p class=\"see\">Before you touch the engine: read CAUTION at the end "
          "of these pages.</p>\n",
          s->page.file);
}

/* How many there are, and of each verdict, where sheets have one. */
static void write_count(const sheet *s, FILE *out)
{
    const char *separator = "";
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
    fprintf(out, *separator ? " of %zu" : "%zu in all", s->sheets);
}

/* A row for each sheet comes below it. */
static void write_summary_head(const sheet *s, FILE *out)
{
    fputs("<section class=\"summary\">\n<h2>SUMMARY</h2>\n<p>", out);
    write_count(s, out);
    fputs(".</p>\n<table>\n<thead><tr>", out);
    for (int k = 0; s->columns[k]; k++)
        fprintf(out, "<th scope=\"col\">%s</th>", s->columns[k]);
    fputs("</tr></thead>\n<tbody>\n", out);
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
    const int single = s->sheets < 2; /* then words and cautions stand on its paper */
    html_end_article(&s->page);
    html_begin(out, s->title);
    if (single) {
        fputs("<div class=\"single\">\n", out);
    } else {
        write_summary_head(s, out);
        if (copy(s->rows, out) != 0)
            return -1;
        fputs("</tbody>\n</table>\n</section>\n", out);
    }
    if (copy(s->page.file, out) != 0)
        return -1;
    fputs(single ? "</div>\n" : "", out);
    html_end(out);
    return 0;
}
