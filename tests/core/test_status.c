/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/status.h>
#include <string.h>

#include "kit/check_main.h"

/* The last failure code; a new one goes below it and moves this line. */
#define LAST DIALARC_ERR_CHOICE

START_TEST(every_code_has_a_name_of_its_own)
{
    for (int a = LAST; a <= DIALARC_NOT_CONVERGED; a++) {
        const char *name = dialarc_status_name((dialarc_status)a);
        const char *prefix = a < 0 ? "DIALARC_ERR_" : "DIALARC_";
        ck_assert_msg(strncmp(name, prefix, strlen(prefix)) == 0, "%d: %s", a, name);
        for (int b = LAST; b < a; b++)
            ck_assert_str_ne(name, dialarc_status_name((dialarc_status)b));
    }
}
END_TEST

START_TEST(every_code_has_a_sentence_of_its_own)
{
    for (int a = LAST; a <= DIALARC_NOT_CONVERGED; a++) {
        const char *text = dialarc_status_text((dialarc_status)a);
        ck_assert_msg(text[0] >= 'A' && text[0] <= 'Z', "%s", text);
        ck_assert_msg(text[strlen(text) - 1] == '.', "%s", text);
        ck_assert_ptr_null(strstr(text, "Unknown"));
        for (int b = LAST; b < a; b++)
            ck_assert_str_ne(text, dialarc_status_text((dialarc_status)b));
    }
}
END_TEST

START_TEST(names_belong_to_their_codes)
{
    ck_assert_str_eq(dialarc_status_name(DIALARC_OK), "DIALARC_OK");
    ck_assert_str_eq(dialarc_status_name(DIALARC_ERR_LIFT), "DIALARC_ERR_LIFT");
    ck_assert_str_eq(dialarc_status_name(DIALARC_ERR_TABLE), "DIALARC_ERR_TABLE");
    ck_assert_str_eq(dialarc_status_name(DIALARC_NOT_CONVERGED), "DIALARC_NOT_CONVERGED");
}
END_TEST

START_TEST(unknown_codes_are_survived)
{
    const int strangers[] = {2, LAST - 1, 1000, -1000};
    for (size_t i = 0; i < sizeof strangers / sizeof strangers[0]; i++) {
        ck_assert_str_eq(dialarc_status_name((dialarc_status)strangers[i]), "unknown");
        ck_assert_ptr_nonnull(dialarc_status_text((dialarc_status)strangers[i]));
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("status");
    TCase *tc = tcase_create("codes");
    tcase_add_test(tc, every_code_has_a_name_of_its_own);
    tcase_add_test(tc, every_code_has_a_sentence_of_its_own);
    tcase_add_test(tc, names_belong_to_their_codes);
    tcase_add_test(tc, unknown_codes_are_survived);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
