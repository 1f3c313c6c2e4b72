/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "csv.h"

#include <math.h>

void csv_text(FILE *out, const char *text)
{
    fputc('"', out);
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
