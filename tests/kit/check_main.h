/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The common part of every test program.
 */
#ifndef DARC_CHECK_MAIN_H
#define DARC_CHECK_MAIN_H

#include <check.h>

/*
 * Check notes the place of every assertion that holds, in a file, to tell where a test
 * crashed. In loops of 10^5 assertions that is nearly all of the time, and valgrind and
 * the sanitizers tell the place better.
 */
#define _mark_point(file, line) ((void)0)

/*
 * Runs a suite and frees it; the result is main()'s. A call of the GSL error handler
 * fails the test that caused it. When the environment variable TEST_LOCALE is set, the
 * suite runs in that locale, and a locale that cannot be set is a failure.
 */
int darc_run(Suite *suite);

#endif
