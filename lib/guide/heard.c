/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "guide/heard.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include <dialarc/units.h>

#include "table/table_near.h"
#include "table/table_parse.h"

#define WORDS_MAX 4 /* an angle, its unit, a reading, its unit */

typedef struct piece {
    const char *text;
    size_t length;
} piece;

/* What a number is followed by. */
typedef enum unit { UNIT_NONE, UNIT_MM, UNIT_INCH, UNIT_DEGREE, UNIT_OTHER } unit;

typedef struct measure {
    double value;
    unit unit;
} measure;

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == ';';
}

/* Cuts a line into words; WORDS_MAX + 1 when there are too many. */
static int cut(const char *line, size_t length, bool at_commas, piece *word)
{
    int n = 0;
    for (size_t i = 0; i < length;) {
        size_t from = i;
        while (i < length && !is_blank(line[i]) && !(at_commas && line[i] == ','))
            i++;
        if (i > from && n == WORDS_MAX)
            return WORDS_MAX + 1;
        if (i > from)
            word[n++] = (piece){line + from, i - from};
        i += i < length;
    }
    return n;
}

static unit unit_of(piece p)
{
    static const struct {
        const char *name;
        unit unit;
    } known[] = {{"mm", UNIT_MM},      {"in", UNIT_INCH},    {"inch", UNIT_INCH},
                 {"\"", UNIT_INCH},    {"deg", UNIT_DEGREE}, {"\xc2\xb0", UNIT_DEGREE},
                 {"\xb0", UNIT_DEGREE}};
    if (p.length == 0)
        return UNIT_NONE;
    for (size_t k = 0; k < sizeof known / sizeof known[0]; k++)
        if ((p.length == strlen(known[k].name) &&
             memcmp(p.text, known[k].name, p.length) == 0) ||
            (known[k].name[0] >= 'a' && darc_is_named(p.text, p.length, known[k].name)))
            return known[k].unit;
    return UNIT_OTHER;
}

/* A number with the unit that is written to it. */
static bool measure_of(piece p, char point, measure *m)
{
    size_t number = p.length;
    while (number > 0 && (p.text[number - 1] < '0' || p.text[number - 1] > '9') &&
           p.text[number - 1] != point)
        number--;
    m->unit = unit_of((piece){p.text + number, p.length - number});
    return m->unit != UNIT_OTHER &&
           darc_parse_number(p.text, number, point, &m->value) == DARC_NUMBER_OK;
}

/* The numbers of a line, each with its unit; -1 when something else is among them. */
static int measures_of(const piece *word, int words, char point, measure *m)
{
    int n = 0;
    for (int k = 0; k < words; k++) {
        unit alone = unit_of(word[k]);
        if (alone != UNIT_OTHER && n > 0 && m[n - 1].unit == UNIT_NONE)
            m[n - 1].unit = alone;
        else if (n == 2 || !measure_of(word[k], point, &m[n++]))
            return -1;
    }
    return n;
}

static bool is_word(const piece *word, int words, const char *name)
{
    return words == 1 && darc_is_named(word[0].text, word[0].length, name);
}

darc_words darc_hear_line(const char *line, size_t length, double *crank_deg,
                          double *dial_mm)
{
    piece word[WORDS_MAX];
    measure m[2];
    char point = memchr(line, '.', length) || !memchr(line, ',', length) ? '.' : ',';
    int words = cut(line, length, point == '.', word);
    if (words == 0)
        return DARC_WORDS_NONE;
    if (words > WORDS_MAX)
        return DARC_WORDS_OTHER;
    if (is_word(word, words, "back"))
        return DARC_WORDS_BACK;
    if (is_word(word, words, "turn"))
        return DARC_WORDS_TURN;
    int n = measures_of(word, words, point, m);
    if (n < 1 || m[n - 1].unit == UNIT_DEGREE ||
        (n == 2 && (m[0].unit == UNIT_MM || m[0].unit == UNIT_INCH)))
        return DARC_WORDS_OTHER;
    *dial_mm = m[n - 1].value;
    if (m[n - 1].unit == UNIT_INCH)
        *dial_mm = dialarc_mm_from_in(m[n - 1].value);
    if (n == 1)
        return DARC_WORDS_READING;
    *crank_deg = m[0].value;
    return DARC_WORDS_BOTH;
}
