/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/table_results.h>

#include <float.h>

#include "core/finding.h"
#include "kit/check_main.h"
#include "kit/table_kit.h"
#include "table/table_csv.h"

static dialarc_timing timing;
static dialarc_decision decision;

static void setup(void)
{
    memset(&timing, 0, sizeof timing);
    memset(&decision, 0, sizeof decision);
    darc_findings_clear(&timing.findings);
    timing.lift_mm = 0.87654;
    timing.lift_u_mm = 0.01204;
    timing.minimum_mm = -0.002;
    timing.minimum_crank_deg = -31.25;
    timing.slack_crank_deg = 3.5;
    timing.slack_u_crank_deg = 0.25;
    timing.dial_hysteresis_mm = 0.0031;
    timing.readings_used = 118;
    timing.readings_rejected = 2;
    decision.verdict = DIALARC_VERDICT_IN;
    decision.advance_error_crank_deg = -0.0317;
    decision.turn_pump_deg = 0.01575;
    decision.probability_in = 0.99346;
    decision.tdc_sd_needed_deg = 0.1749;
}

static const char *row(const char *name)
{
    static char text[DIALARC_RESULT_SIZE];
    size_t length = 0;
    ck_assert_int_eq(
        dialarc_result_format(name, &timing, &decision, text, sizeof text, &length),
        DIALARC_OK);
    ck_assert_uint_eq(length, strlen(text));
    return text;
}

START_TEST(a_row)
{
    ck_assert_str_eq(row("s1"), "s1,in,0.8765,0.0120,-0.0020,-31.250,3.500,0.250,0.0031,"
                                "-0.032,0.016,0.9935,118,2,,,0.175,0.000\n");
}
END_TEST

START_TEST(what_is_not_known_is_blank)
{
    timing.lift_mm = timing.lift_u_mm = timing.slack_crank_deg = DIALARC_UNKNOWN;
    timing.slack_u_crank_deg = timing.minimum_mm = timing.minimum_crank_deg =
        DIALARC_UNKNOWN;
    timing.dial_hysteresis_mm = decision.advance_error_crank_deg = DIALARC_UNKNOWN;
    decision.turn_pump_deg = decision.probability_in = DIALARC_UNKNOWN;
    decision.tdc_sd_needed_deg = timing.lift_crank_deg = DIALARC_UNKNOWN;
    decision.verdict = DIALARC_VERDICT_NONE;
    ck_assert_str_eq(row("s1"), "s1,,,,,,,,,,,,118,2,,,,\n");
}
END_TEST

START_TEST(verdicts)
{
    static const struct {
        dialarc_verdict verdict;
        const char *start;
    } cases[] = {{DIALARC_VERDICT_NONE, "s,,"},
                 {DIALARC_VERDICT_IN, "s,in,"},
                 {DIALARC_VERDICT_LOW, "s,low,"},
                 {DIALARC_VERDICT_HIGH, "s,high,"},
                 {DIALARC_VERDICT_UNDECIDED, "s,undecided,"},
                 {DIALARC_VERDICT_UNUSABLE, "s,unusable,"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        decision.verdict = cases[i].verdict;
        ck_assert_int_eq(strncmp(row("s"), cases[i].start, strlen(cases[i].start)), 0);
    }
}
END_TEST

/* A lift that a finding forbids to use is not there to be used. */
START_TEST(an_unusable_sweep_has_no_lift)
{
    decision.verdict = DIALARC_VERDICT_UNUSABLE;
    timing.lift_crank_deg = -5.0;
    darc_findings_add(&timing.findings, DIALARC_FINDING_ORDER_REVERSED,
                      DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
    ck_assert_str_eq(row("s1"), "s1,unusable,,,-0.0020,-31.250,3.500,0.250,0.0031,"
                                "-0.032,0.016,0.9935,118,2,order_reversed,stop,0.175,"
                                "-5.000\n");
}
END_TEST

START_TEST(findings_joined)
{
    darc_findings_add(&timing.findings, DIALARC_FINDING_ZERO_DRIFT,
                      DIALARC_SEVERITY_CAUTION, 3);
    ck_assert_ptr_nonnull(strstr(row("s"), ",zero_drift,caution,"));
    darc_findings_add(&timing.findings, DIALARC_FINDING_READING_REJECTED,
                      DIALARC_SEVERITY_NOTE, 5);
    ck_assert_ptr_nonnull(strstr(row("s"), ",reading_rejected;zero_drift,caution,"));
    darc_findings_clear(&timing.findings);
    darc_findings_add(&timing.findings, DIALARC_FINDING_READING_REJECTED,
                      DIALARC_SEVERITY_NOTE, 5);
    ck_assert_ptr_nonnull(strstr(row("s"), ",reading_rejected,note,"));
}
END_TEST

/* Everything at its longest fits, and reads back. */
START_TEST(longest_row)
{
    char name[DIALARC_NAME_SIZE];
    memset(name, '"', sizeof name - 1);
    name[sizeof name - 1] = '\0';
    for (int i = 0; i < DIALARC_FINDING_COUNT; i++)
        darc_findings_add(&timing.findings, (dialarc_finding)i, DIALARC_SEVERITY_STOP, 0);
    timing.lift_mm = timing.lift_u_mm = timing.slack_crank_deg = -DBL_MAX;
    timing.slack_u_crank_deg = timing.minimum_mm = timing.minimum_crank_deg = -DBL_MAX;
    timing.dial_hysteresis_mm = decision.advance_error_crank_deg = -DBL_MAX;
    decision.turn_pump_deg = decision.probability_in = -DBL_MAX;
    decision.tdc_sd_needed_deg = timing.lift_crank_deg = -DBL_MAX;
    timing.readings_used = timing.readings_rejected = (size_t)-1;
    decision.verdict = DIALARC_VERDICT_UNDECIDED;
    ck_assert_uint_lt(strlen(row(name)) + 200, DIALARC_RESULT_SIZE);
}
END_TEST

/* Names survive a row and a reader, whatever is in them. */
START_TEST(names_read_back)
{
    static const char *const names[] = {
        "plain", "a,b",   "say \"so\"", "two\nlines", "cr\r\nlf",
        " gap ", "\ttab", "=1+1",       "",           "gr\xc3\xbc\xc3\x9f"};
    static const char *const columns[] = {"sweep"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        char text[4096];
        strcat(strcpy(text, dialarc_results_header()), row(names[i]));
        kit_source source = kit_text(text);
        darc_csv csv;
        bool more;
        ck_assert_int_eq(darc_csv_open(&csv, kit_read, &source, columns, 1, NULL),
                         DIALARC_OK);
        ck_assert_int_eq(darc_csv_next(&csv, &more, NULL), DIALARC_OK);
        ck_assert(more);
        ck_assert_uint_eq(csv.field[0].length, strlen(names[i]));
        ck_assert_int_eq(strncmp(csv.field[0].text, names[i], strlen(names[i])), 0);
        darc_csv_close(&csv);
    }
}
END_TEST

START_TEST(header)
{
    ck_assert_str_eq(dialarc_results_header(),
                     "sweep,verdict,lift_mm,lift_u_mm,minimum_mm,minimum_crank_deg,"
                     "slack_crank_deg,slack_u_crank_deg,dial_hysteresis_mm,"
                     "advance_error_crank_deg,turn_pump_deg,probability_in,readings_used,"
                     "readings_rejected,findings,severity,tdc_sd_needed_deg,"
                     "lift_crank_deg\n");
}
END_TEST

START_TEST(arguments)
{
    char text[DIALARC_RESULT_SIZE] = "x", name[DIALARC_NAME_SIZE + 1];
    size_t length = 7, size = sizeof text;
    ck_assert_int_eq(dialarc_result_format(NULL, &timing, &decision, text, size, &length),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_result_format("s", NULL, &decision, text, size, &length),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_result_format("s", &timing, NULL, text, size, &length),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_result_format("s", &timing, &decision, NULL, size, &length),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(
        dialarc_result_format("s", &timing, &decision, text, size - 1, &length),
        DIALARC_ERR_SIZE);
    memset(name, 'n', sizeof name);
    name[sizeof name - 1] = '\0';
    ck_assert_int_eq(dialarc_result_format(name, &timing, &decision, text, size, &length),
                     DIALARC_ERR_SIZE);
    ck_assert_str_eq(text, "x");
    ck_assert_uint_eq(length, 7);
    ck_assert_int_eq(dialarc_result_format("s", &timing, &decision, text, size, NULL),
                     DIALARC_OK);
}
END_TEST

static Suite *suite(void)
{
    Suite *s = suite_create("table_results");
    TCase *c = tcase_create("rows");
    tcase_add_checked_fixture(c, setup, NULL);
    tcase_add_test(c, a_row);
    tcase_add_test(c, what_is_not_known_is_blank);
    tcase_add_test(c, verdicts);
    tcase_add_test(c, an_unusable_sweep_has_no_lift);
    tcase_add_test(c, findings_joined);
    tcase_add_test(c, longest_row);
    tcase_add_test(c, names_read_back);
    tcase_add_test(c, header);
    tcase_add_test(c, arguments);
    suite_add_tcase(s, c);
    return s;
}

int main(void)
{
    return darc_run(suite());
}
