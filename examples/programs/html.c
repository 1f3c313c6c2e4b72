/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "html.h"

#include "shown.h"
#include "style.h"

/* What a list that is being written is; its last entry is open. */
typedef enum list { LIST_NONE, LIST_FACTS, LIST_STEPS, LIST_ITEMS, LIST_AMOUNTS } list;

enum { THE_LIST, ARTICLES }; /* state of the writer */

static const char *const list_begin[] = {"", "<dl>\n", "<ol>\n", "<ul>\n", "<table>\n"};
static const char *const list_end[] = {"", "</div>\n</dl>\n", "</li>\n</ol>\n",
                                       "</li>\n</ul>\n", "</table>\n"};
static const char *const entry_end[] = {"", "</div>\n", "</li>\n", "</li>\n", ""};

void html_text(FILE *out, const char *text)
{
    char safe[SHOWN_SIZE];
    for (const char *at = shown(text, safe, sizeof safe); *at; at++)
        switch (*at) {
        case '&':
            fputs("&amp;", out);
            break;
        case '<':
            fputs("&lt;", out);
            break;
        case '>':
            fputs("&gt;", out);
            break;
        case '"':
            fputs("&quot;", out);
            break;
        case '\'':
            fputs("&#39;", out);
            break;
        default:
            fputc(*at, out);
        }
}

static void element(writer *w, const char *name, const char *text)
{
    fprintf(w->file, "<%s>", name);
    html_text(w->file, text);
    fprintf(w->file, "</%s>\n", name);
}

void html_end_list(writer *w)
{
    fputs(list_end[w->state[THE_LIST]], w->file);
    w->state[THE_LIST] = LIST_NONE;
}

/* Begins an entry of such a list. */
static void begin_entry(writer *w, list wanted)
{
    if (w->state[THE_LIST] == (int)wanted) {
        fputs(entry_end[wanted], w->file);
        return;
    }
    html_end_list(w);
    fputs(list_begin[wanted], w->file);
    w->state[THE_LIST] = (int)wanted;
}

void html_end_article(writer *w)
{
    html_end_list(w);
    if (w->state[ARTICLES] > 0)
        fputs("</article>\n", w->file);
}

static void put_head(writer *w, const char *text)
{
    html_end_article(w);
    fprintf(w->file, "<article id=\"part-%d\">\n", ++w->state[ARTICLES]);
    element(w, "h2", text);
}

static void put_section(writer *w, const char *title)
{
    html_end_list(w);
    element(w, "h3", title);
}

static void put(writer *w, writer_kind kind, const char *label, const char *text)
{
    switch (kind) {
    case WRITER_FACT:
        begin_entry(w, LIST_FACTS);
        fputs("<div>", w->file);
        element(w, "dt", label);
        element(w, "dd", text);
        return;
    case WRITER_MORE:
        element(w, w->state[THE_LIST] == LIST_FACTS ? "dd" : "p", text);
        return;
    case WRITER_STEP:
    case WRITER_ITEM:
        begin_entry(w, kind == WRITER_STEP ? LIST_STEPS : LIST_ITEMS);
        fputs("<li>", w->file);
        element(w, "p", text);
        return;
    case WRITER_UNDER:
        element(w, "p", text);
        return;
    case WRITER_NOTE:
    case WRITER_REMARK:
    case WRITER_PARAGRAPH:
        html_end_list(w);
        element(w, "p", text);
    }
}

/* The bar shows the share, beside the number that says it. */
static void put_amount(writer *w, const char *what, double share, const char *text)
{
    begin_entry(w, LIST_AMOUNTS);
    fputs("<tr><th scope=\"row\">", w->file);
    html_text(w->file, what);
    fputs("</th><td>", w->file);
    html_text(w->file, text);
    fprintf(w->file,
            "</td><td class=\"share\"><svg viewBox=\"0 0 100 10\" aria-hidden=\"true\" "
            "preserveAspectRatio=\"none\"><rect class=\"bar\" width=\"%.0f\" "
            "height=\"10\"/></svg></td></tr>\n",
            share >= 0.0 && share <= 1.0 ? 100.0 * share : 0.0);
}

writer html_writer(FILE *out)
{
    static const writer_paper paper = {put_head, put_section, put, put_amount};
    return (writer){.file = out, .paper = &paper};
}

void html_begin(FILE *out, const char *title)
{
    fputs("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
          "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
          "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
          "style-src 'unsafe-inline'\">\n<meta name=\"color-scheme\" content=\"light "
          "dark\">\n<title>",
          out);
    html_text(out, title);
    fprintf(out, "</title>\n<style>\n%s%s</style>\n</head>\n<body>\n<h1>", style_screen,
            style_print);
    html_text(out, title);
    fputs("</h1>\n", out);
}

void html_end(FILE *out)
{
    fputs("</body>\n</html>\n", out);
}
