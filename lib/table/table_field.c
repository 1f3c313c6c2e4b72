/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "table/table_field.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <dialarc/setup.h>

#include "table/table_parse.h"

const char *darc_field_trim(const darc_csv *csv, int slot, size_t *length)
{
    const darc_field *field = &csv->field[slot];
    const char *p = field->text, *end = p + field->length;
    if (!field->quoted)
        darc_trim(&p, &end);
    *length = (size_t)(end - p);
    return p;
}

/* Refuses what is in the field; `why` goes on after the quoted text. */
static dialarc_status refuse(const darc_csv *csv, int slot, dialarc_status status,
                             dialarc_error *error, const char *why)
{
    char quoted[DARC_QUOTE_SIZE];
    size_t length;
    const char *text = darc_field_trim(csv, slot, &length);
    darc_quote(text, length, quoted);
    return darc_csv_fail(csv, slot, status, error, "\"%s\" %s", quoted, why);
}

static dialarc_status refuse_number(const darc_csv *csv, int slot, darc_number found,
                                    dialarc_error *error)
{
    char why[120];
    switch (found) {
    case DARC_NUMBER_OTHER_SIGN:
        if (csv->separator == ',')
            return refuse(csv, slot, DIALARC_ERR_TABLE, error,
                          "has a decimal comma: numbers need a decimal point, or "
                          "semicolons between the columns");
        snprintf(why, sizeof why,
                 "has a %s, but the number in line %zu has a %s: a file may have one "
                 "decimal sign",
                 csv->point == '.' ? "comma" : "point", csv->point_line,
                 csv->point == '.' ? "point" : "comma");
        return refuse(csv, slot, DIALARC_ERR_TABLE, error, why);
    case DARC_NUMBER_NOT_FINITE:
        return refuse(
            csv, slot, DIALARC_ERR_NOT_FINITE, error,
            "is not an ordinary number: leave the field blank if it is not known");
    case DARC_NUMBER_OK:
    case DARC_NUMBER_TOO_LARGE:
        return refuse(csv, slot, DIALARC_ERR_TABLE, error,
                      "is larger than anything measured");
    case DARC_NUMBER_BLANK:
    case DARC_NUMBER_BAD:
        break;
    }
    return refuse(csv, slot, DIALARC_ERR_TABLE, error, "is not a number");
}

/* Leaves out a degree sign behind an angle, and the space before it. */
static void trim_degree(const char *name, const char **text, const char **end)
{
    size_t length = strlen(name);
    darc_trim(text, end);
    if (length < 4 || memcmp(name + length - 4, "_deg", 4) != 0)
        return;
    if (*end - *text > 2 && memcmp(*end - 2, "\xc2\xb0", 2) == 0)
        *end -= 2;
}

/* Any number: spaces, signs and decimal signs of all dialects. */
static darc_number read_any(darc_csv *csv, int slot, double *number)
{
    const darc_field *field = &csv->field[slot];
    if (field->length == 0)
        return DARC_NUMBER_BLANK;
    const char *text = field->text, *end = text + field->length;
    trim_degree(csv->name[slot], &text, &end);
    size_t length = (size_t)(end - text);
    bool comma = memchr(text, ',', length), sign = comma || memchr(text, '.', length);
    char point = csv->point ? csv->point : comma ? ',' : '.';
    darc_number found = darc_parse_number(text, length, point, number);
    if (found == DARC_NUMBER_OK && sign && !csv->point) {
        csv->point = point;
        csv->point_line = csv->line + field->newlines;
    }
    return found;
}

dialarc_status darc_field_number(darc_csv *csv, int slot, double *value,
                                 dialarc_error *error)
{
    const darc_field *field = &csv->field[slot];
    if (darc_parse_short(field->text, field->length, csv->point, value) &&
        fabs(*value) <= DARC_FIELD_LARGEST)
        return DIALARC_OK;
    double number = DIALARC_UNKNOWN;
    darc_number found = read_any(csv, slot, &number);
    if ((found != DARC_NUMBER_OK && found != DARC_NUMBER_BLANK) ||
        isgreater(fabs(number), DARC_FIELD_LARGEST)) /* blank is NaN: no exception */
        return refuse_number(csv, slot, found, error);
    *value = number;
    return DIALARC_OK;
}

dialarc_status darc_field_needed(darc_csv *csv, int slot, double *value,
                                 dialarc_error *error)
{
    double number;
    dialarc_status status = darc_field_number(csv, slot, &number, error);
    if (status != DIALARC_OK)
        return status;
    if (isnan(number))
        return darc_csv_fail(csv, slot, DIALARC_ERR_TABLE, error,
                             "the field is blank, but a number is needed");
    *value = number;
    return DIALARC_OK;
}

dialarc_status darc_field_whole(darc_csv *csv, int slot, int low, int high, int blank,
                                dialarc_status status, int *value, dialarc_error *error)
{
    double number;
    dialarc_status bad = darc_field_number(csv, slot, &number, error);
    if (bad != DIALARC_OK)
        return bad;
    if (isnan(number)) {
        *value = blank;
        return DIALARC_OK;
    }
    if (!(number >= low && number <= high && number == floor(number))) {
        char why[80];
        snprintf(why, sizeof why, "must be a whole number from %d to %d", low, high);
        return refuse(csv, slot, status, error, why);
    }
    *value = (int)number;
    return DIALARC_OK;
}

/* Whether a text is a word, the minus of which may be U+2212. */
static bool is_word(const char *text, size_t length, const char *word)
{
    if (*word == '-' && length > 3 && memcmp(text, "\xe2\x88\x92", 3) == 0) {
        word++;
        text += 3;
        length -= 3;
    }
    return strlen(word) == length && memcmp(word, text, length) == 0;
}

dialarc_status darc_field_word(const darc_csv *csv, int slot, const char *const *words,
                               int count, dialarc_status status, int *which,
                               dialarc_error *error)
{
    size_t length;
    const char *text = darc_field_trim(csv, slot, &length);
    for (int i = 0; length && i < count; i++)
        if (is_word(text, length, words[i])) {
            *which = i;
            return DIALARC_OK;
        }
    if (length == 0) {
        *which = -1;
        return DIALARC_OK;
    }
    char why[200] = "must be ";
    size_t used = strlen(why);
    for (int i = 0; i < count && used < sizeof why; i++)
        used += (size_t)snprintf(why + used, sizeof why - used, "%s%s",
                                 i == 0           ? ""
                                 : i == count - 1 ? " or "
                                                  : ", ",
                                 words[i]);
    return refuse(csv, slot, status, error, why);
}

/* Length of the UTF-8 sequence that starts here; 0 when it is none. */
static size_t utf8_length(const unsigned char *p, size_t left)
{
    static const struct {
        unsigned char first, last, low, high; /* lead bytes; range of the second byte */
        size_t length;
    } kinds[] = {{0x00, 0x7f, 0, 0, 1},       {0xc2, 0xdf, 0x80, 0xbf, 2},
                 {0xe0, 0xe0, 0xa0, 0xbf, 3}, {0xe1, 0xec, 0x80, 0xbf, 3},
                 {0xed, 0xed, 0x80, 0x9f, 3}, {0xee, 0xef, 0x80, 0xbf, 3},
                 {0xf0, 0xf0, 0x90, 0xbf, 4}, {0xf1, 0xf3, 0x80, 0xbf, 4},
                 {0xf4, 0xf4, 0x80, 0x8f, 4}};
    for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
        if (p[0] < kinds[k].first || p[0] > kinds[k].last)
            continue;
        size_t n = kinds[k].length;
        if (n > left || (n > 1 && (p[1] < kinds[k].low || p[1] > kinds[k].high)))
            return 0;
        for (size_t i = 2; i < n; i++)
            if ((p[i] & 0xc0) != 0x80)
                return 0;
        return n;
    }
    return 0;
}

bool darc_is_utf8(const char *text, size_t length)
{
    for (size_t i = 0, n; i < length; i += n) {
        n = utf8_length((const unsigned char *)text + i, length - i);
        if (n == 0)
            return false;
    }
    return true;
}

dialarc_status darc_field_name(const darc_csv *csv, int slot,
                               char name[DIALARC_NAME_SIZE], dialarc_error *error)
{
    size_t length;
    const char *text = darc_field_trim(csv, slot, &length);
    if (length == 0)
        return darc_csv_fail(csv, slot, DIALARC_ERR_TABLE, error,
                             "the field is blank, but a name is needed");
    if (length >= DIALARC_NAME_SIZE)
        return refuse(csv, slot, DIALARC_ERR_TABLE, error, "is longer than 127 bytes");
    if (!darc_is_utf8(text, length))
        return darc_csv_fail(csv, slot, DIALARC_ERR_TABLE, error,
                             "the text is not UTF-8: save the file as UTF-8");
    memcpy(name, text, length);
    name[length] = '\0';
    return DIALARC_OK;
}
