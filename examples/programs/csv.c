/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "csv.h"

#include <math.h>
#include <string.h>

int csv_is_formula(const char *text)
{
    return text[0] != '\0' && strchr("=+-@\t\r", text[0]) != NULL;
}

void csv_text(FILE *out, const char *text, int guard)
{
    fputs(guard && csv_is_formula(text) ? "\"'" : "\"", out);
    for (; *text; text++) {
        if (*text == '"')
            fputc('"', out);
        fputc(*text, out);
    }
    fputc('"', out);
}

void csv_number(FILE *out, double value, int decimals)
{
    if (isnan(value))
        fputc(',', out);
    else
        fprintf(out, ",%.*f", decimals, value);
}
