/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc.h>
#include <stdlib.h>

#include "kit/check_main.h"

START_TEST(version_is_that_of_the_package)
{
    ck_assert_str_eq(dialarc_version(), PACKAGE_VERSION);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("api");
    TCase *tc = tcase_create("version");
    tcase_add_test(tc, version_is_that_of_the_package);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
