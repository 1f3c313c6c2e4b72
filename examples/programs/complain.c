/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "complain.h"

#include <stdio.h>

#include "shown.h"

int complain(const char *who, const char *what, const char *text)
{
    char safe_what[SHOWN_SIZE], safe_text[SHOWN_SIZE];
    fprintf(stderr, "dialarc%s%s: %s: %s\n", who[0] ? " " : "", who,
            shown(what, safe_what, SHOWN_SIZE), shown(text, safe_text, SHOWN_SIZE));
    return FAILED;
}

int complain_table(const char *who, const char *name, const dialarc_error *error)
{
    char text[SHOWN_SIZE / 2], safe[SHOWN_SIZE];
    size_t told = error->count < error->room ? error->count : error->room;
    for (size_t i = 0; i < (told ? told : 1); i++) {
        dialarc_error_text(&error[i], name, text, sizeof text);
        fprintf(stderr, "dialarc %s: %s\n", who, shown(text, safe, sizeof safe));
    }
    if (error->count > told && told)
        fprintf(stderr, "dialarc %s: %s: and %zu more\n", who,
                shown(name, safe, sizeof safe), error->count - told);
    return FAILED;
}

int complain_memory(const char *who)
{
    return complain(who, "memory", dialarc_status_text(DIALARC_ERR_NO_MEMORY));
}

void complain_unusable(const char *who, const char *name,
                       const dialarc_findings *findings)
{
    char safe[SHOWN_SIZE];
    const char *separator = ":";
    fprintf(stderr, "dialarc %s: unusable: %s", who, shown(name, safe, sizeof safe));
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        if (dialarc_findings_has(findings, (dialarc_finding)k) &&
            findings->severity[k] == DIALARC_SEVERITY_STOP) {
            fprintf(stderr, "%s %s", separator, dialarc_finding_code((dialarc_finding)k));
            separator = ",";
        }
    fputc('\n', stderr);
}
