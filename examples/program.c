/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "program.h"

#include <string.h>

static int is_stream(const char *path)
{
    return strcmp(path, "-") == 0;
}

int program_fail(const char *program, const char *what, const char *text)
{
    fprintf(stderr, "%s: %s: %s\n", program, what, text);
    return FAILED;
}

int program_fail_table(const char *program, const char *path, const dialarc_error *error)
{
    char text[512];
    dialarc_error_text(error, program_table_name(path), text, sizeof text);
    fprintf(stderr, "%s: %s\n", program, text);
    return FAILED;
}

void program_unusable(const char *program, const char *name,
                      const dialarc_findings *findings)
{
    const char *separator = ":";
    fprintf(stderr, "%s: unusable: %s", program, name);
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        if (dialarc_findings_has(findings, (dialarc_finding)k) &&
            findings->severity[k] == DIALARC_SEVERITY_STOP) {
            fprintf(stderr, "%s %s", separator, dialarc_finding_code((dialarc_finding)k));
            separator = ",";
        }
    fputc('\n', stderr);
}

const char *program_table_name(const char *path)
{
    return is_stream(path) ? "standard input" : path;
}

int program_two_tables(const char *first, const char *second)
{
    return first && second && !(is_stream(first) && is_stream(second));
}

int program_read_setups(const char *program, const char *path, dialarc_setups **setups)
{
    dialarc_error error = {0};
    dialarc_status status =
        is_stream(path) ? dialarc_setups_read(dialarc_read_file, stdin, setups, &error)
                        : dialarc_setups_load(path, setups, &error);
    return status == DIALARC_OK ? DONE : program_fail_table(program, path, &error);
}
