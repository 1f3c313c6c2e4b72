/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <gsl/gsl_errno.h>
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>

#include "kit/check_main.h"

static void fail_on_gsl_error(const char *reason, const char *file, int line, int code)
{
    ck_abort_msg("the GSL error handler was called: %s (%s:%d, code %d)", reason, file,
                 line, code);
}

int darc_run(Suite *suite)
{
    const char *wanted = getenv("TEST_LOCALE");
    if (wanted && !setlocale(LC_ALL, wanted)) {
        fprintf(stderr, "cannot set the locale %s\n", wanted);
        return EXIT_FAILURE;
    }
    gsl_set_error_handler(fail_on_gsl_error);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
