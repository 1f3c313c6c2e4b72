/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/finding.h"
#include <string.h>

#include "kit/check_main.h"

START_TEST(every_finding_has_a_code_and_a_text_of_its_own)
{
    for (int a = 0; a < DIALARC_FINDING_COUNT; a++) {
        const char *code = dialarc_finding_code((dialarc_finding)a);
        const char *text = dialarc_finding_text((dialarc_finding)a);
        ck_assert_ptr_nonnull(code);
        ck_assert_ptr_nonnull(text);
        ck_assert_uint_eq(strspn(code, "abcdefghijklmnopqrstuvwxyz_"), strlen(code));
        ck_assert_int_eq(text[strlen(text) - 1], '.');
        for (int b = 0; b < a; b++) {
            ck_assert_str_ne(code, dialarc_finding_code((dialarc_finding)b));
            ck_assert_str_ne(text, dialarc_finding_text((dialarc_finding)b));
        }
    }
}
END_TEST

START_TEST(codes_belong_to_their_findings)
{
    ck_assert_str_eq(dialarc_finding_code(DIALARC_FINDING_ZERO_DRIFT), "zero_drift");
    ck_assert_str_eq(dialarc_finding_code(DIALARC_FINDING_MINIMUM_NOT_BRACKETED),
                     "minimum_not_bracketed");
    ck_assert_str_eq(dialarc_finding_code(DIALARC_FINDING_FIT_NOT_CONVERGED),
                     "fit_not_converged");
    ck_assert_str_eq(dialarc_finding_code(DIALARC_FINDING_TURN_NOT_COVERED),
                     "turn_not_covered");
}
END_TEST

START_TEST(strangers_are_survived)
{
    const int strangers[] = {-1, DIALARC_FINDING_COUNT, 1000};
    dialarc_findings all = {.present = UINT32_MAX};
    for (size_t i = 0; i < sizeof strangers / sizeof strangers[0]; i++) {
        dialarc_finding f = (dialarc_finding)strangers[i];
        ck_assert_str_eq(dialarc_finding_code(f), "unknown");
        ck_assert_ptr_nonnull(dialarc_finding_text(f));
        ck_assert_int_eq(dialarc_findings_has(&all, f), 0);
    }
    ck_assert_str_eq(dialarc_severity_text((dialarc_severity)3), "unknown");
    ck_assert_str_eq(dialarc_severity_text((dialarc_severity)-1), "unknown");
    ck_assert_str_eq(dialarc_severity_name((dialarc_severity)3), "unknown");
}
END_TEST

START_TEST(severities_have_words)
{
    ck_assert_str_eq(dialarc_severity_text(DIALARC_SEVERITY_NOTE), "note");
    ck_assert_str_eq(dialarc_severity_text(DIALARC_SEVERITY_CAUTION), "caution");
    ck_assert_str_eq(dialarc_severity_text(DIALARC_SEVERITY_STOP), "stops the verdict");
    ck_assert_str_eq(dialarc_severity_name(DIALARC_SEVERITY_NOTE), "note");
    ck_assert_str_eq(dialarc_severity_name(DIALARC_SEVERITY_CAUTION), "caution");
    ck_assert_str_eq(dialarc_severity_name(DIALARC_SEVERITY_STOP), "stop");
}
END_TEST

START_TEST(an_empty_set_has_nothing)
{
    dialarc_findings set;
    memset(&set, 0xff, sizeof set);
    darc_findings_clear(&set);
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++) {
        ck_assert_int_eq(dialarc_findings_has(&set, (dialarc_finding)k), 0);
        ck_assert_int_eq(dialarc_findings_has(NULL, (dialarc_finding)k), 0);
        ck_assert_uint_eq(set.row[k], DIALARC_NO_ROW);
    }
    ck_assert_int_eq(dialarc_findings_worst(&set), DIALARC_SEVERITY_NOTE);
    ck_assert_int_eq(dialarc_findings_worst(NULL), DIALARC_SEVERITY_NOTE);
}
END_TEST

START_TEST(adding_keeps_the_worst_severity_and_the_first_row)
{
    const dialarc_finding f = DIALARC_FINDING_READING_REJECTED;
    dialarc_findings set;
    darc_findings_clear(&set);
    darc_findings_add(&set, f, DIALARC_SEVERITY_NOTE, DIALARC_NO_ROW);
    ck_assert_uint_eq(set.row[f], DIALARC_NO_ROW);
    darc_findings_add(&set, f, DIALARC_SEVERITY_STOP, 7);
    darc_findings_add(&set, f, DIALARC_SEVERITY_CAUTION, 9);
    ck_assert_uint_eq(set.row[f], 7);
    ck_assert_int_eq(set.severity[f], DIALARC_SEVERITY_STOP);
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        ck_assert_int_eq(dialarc_findings_has(&set, (dialarc_finding)k), k == (int)f);
}
END_TEST

START_TEST(worst_ignores_findings_that_were_not_made)
{
    dialarc_findings set;
    darc_findings_clear(&set);
    set.severity[DIALARC_FINDING_ZERO_DRIFT] = DIALARC_SEVERITY_STOP;
    darc_findings_add(&set, DIALARC_FINDING_BELOW_ZERO, DIALARC_SEVERITY_NOTE, 0);
    ck_assert_int_eq(dialarc_findings_worst(&set), DIALARC_SEVERITY_NOTE);
    darc_findings_add(&set, DIALARC_FINDING_CAM_MISMATCH, DIALARC_SEVERITY_CAUTION, 0);
    ck_assert_int_eq(dialarc_findings_worst(&set), DIALARC_SEVERITY_CAUTION);
    darc_findings_add(&set, DIALARC_FINDING_FIT_NOT_CONVERGED, DIALARC_SEVERITY_STOP, 0);
    ck_assert_int_eq(dialarc_findings_worst(&set), DIALARC_SEVERITY_STOP);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("finding");
    TCase *tc = tcase_create("words");
    tcase_add_test(tc, every_finding_has_a_code_and_a_text_of_its_own);
    tcase_add_test(tc, codes_belong_to_their_findings);
    tcase_add_test(tc, strangers_are_survived);
    tcase_add_test(tc, severities_have_words);
    suite_add_tcase(suite, tc);
    tc = tcase_create("sets");
    tcase_add_test(tc, an_empty_set_has_nothing);
    tcase_add_test(tc, adding_keeps_the_worst_severity_and_the_first_row);
    tcase_add_test(tc, worst_ignores_findings_that_were_not_made);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
