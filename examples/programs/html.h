/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The paper of a writer that is one HTML page: it holds everything that it needs, takes
 * nothing from anywhere and runs no script.
 */
#ifndef HTML_H
#define HTML_H

#include "writer.h"

/* A text from outside: no character of it means anything to HTML, the terminal or the
 * direction of writing. */
void html_text(FILE *out, const char *text);

/* Head and end of a page. */
void html_begin(FILE *out, const char *title);
void html_end(FILE *out);

/* Each heading begins an article; the k-th has the identity "part-k", from 1. */
writer html_writer(FILE *out);

/* Ends the list that was being written, so that something else may follow. */
void html_end_list(writer *w);

/* Ends the article. */
void html_end_article(writer *w);

#endif
