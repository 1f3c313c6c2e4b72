/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines as keyboards and indicators bring them. */
#include "guide/heard.h"

#include <string.h>

#include "kit/check_main.h"

static const struct {
    const char *line;
    darc_words words;
    double crank_deg, dial_mm;
} lines[] = {
    {"-34 0.12", DARC_WORDS_BOTH, -34.0, 0.12},
    {"-34\t0.12", DARC_WORDS_BOTH, -34.0, 0.12},
    {"  -34 ;  0.12  ", DARC_WORDS_BOTH, -34.0, 0.12},
    {"-34,0.12", DARC_WORDS_BOTH, -34.0, 0.12},
    {"-34.0, 0.12", DARC_WORDS_BOTH, -34.0, 0.12},
    {"-34,5 0,12", DARC_WORDS_BOTH, -34.5, 0.12},
    {"-34,5;0,12", DARC_WORDS_BOTH, -34.5, 0.12},
    {"\xe2\x88\x92"
     "34 +0.12",
     DARC_WORDS_BOTH, -34.0, 0.12},
    {"-34\xc2\xb0 0.12 mm", DARC_WORDS_BOTH, -34.0, 0.12},
    {"-34 deg 0.12mm", DARC_WORDS_BOTH, -34.0, 0.12},
    {"+00.123", DARC_WORDS_READING, 0.0, 0.123},
    {"+00.123 mm", DARC_WORDS_READING, 0.0, 0.123},
    {"+00,123MM", DARC_WORDS_READING, 0.0, 0.123},
    {"-0.005in", DARC_WORDS_READING, 0.0, -0.127},
    {"0.005 \"", DARC_WORDS_READING, 0.0, 0.127},
    {"0", DARC_WORDS_READING, 0.0, 0.0},
    {"", DARC_WORDS_NONE, 0.0, 0.0},
    {" \t;", DARC_WORDS_NONE, 0.0, 0.0},
    {"back", DARC_WORDS_BACK, 0.0, 0.0},
    {" Back ", DARC_WORDS_BACK, 0.0, 0.0},
    {"TURN", DARC_WORDS_TURN, 0.0, 0.0},
    {"back 2", DARC_WORDS_OTHER, 0.0, 0.0},
    {"backs", DARC_WORDS_OTHER, 0.0, 0.0},
    {"1 2 3", DARC_WORDS_OTHER, 0.0, 0.0},
    {"1 2 mm mm", DARC_WORDS_OTHER, 0.0, 0.0},
    {"1 2 3 4 5 6", DARC_WORDS_OTHER, 0.0, 0.0},
    {"-34 mm 0.12", DARC_WORDS_OTHER, 0.0, 0.0},
    {"-34 0.12 deg", DARC_WORDS_OTHER, 0.0, 0.0},
    {"mm", DARC_WORDS_OTHER, 0.0, 0.0},
    {"0.12 cm", DARC_WORDS_OTHER, 0.0, 0.0},
    {"0.1.2", DARC_WORDS_OTHER, 0.0, 0.0},
    {"0,1,2", DARC_WORDS_OTHER, 0.0, 0.0},
    {"nan", DARC_WORDS_OTHER, 0.0, 0.0},
    {"inf 0", DARC_WORDS_OTHER, 0.0, 0.0},
    {"1e999 0", DARC_WORDS_OTHER, 0.0, 0.0},
    {"0x10", DARC_WORDS_OTHER, 0.0, 0.0},
    {"\x01\xff\xfe", DARC_WORDS_OTHER, 0.0, 0.0},
    {"0.1\x02", DARC_WORDS_OTHER, 0.0, 0.0},
};

/* 0.005 inch are 0.127 mm: the inch is 25.4 mm by definition (ISO 31-1, from memory). */
START_TEST(lines_of_all_kinds)
{
    double crank_deg = 77.0, dial_mm = 77.0;
    darc_words words =
        darc_hear_line(lines[_i].line, strlen(lines[_i].line), &crank_deg, &dial_mm);
    ck_assert_msg(words == lines[_i].words, "%s", lines[_i].line);
    if (words == DARC_WORDS_BOTH)
        ck_assert_double_eq(crank_deg, lines[_i].crank_deg);
    if (words == DARC_WORDS_BOTH || words == DARC_WORDS_READING)
        ck_assert_double_eq_tol(dial_mm, lines[_i].dial_mm, 1e-15);
    else
        ck_assert_double_eq(dial_mm, 77.0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("heard");
    TCase *tc = tcase_create("heard");
    tcase_add_loop_test(tc, lines_of_all_kinds, 0, (int)(sizeof lines / sizeof lines[0]));
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
