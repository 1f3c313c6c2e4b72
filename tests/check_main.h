/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The common part of every test program.
 */
#ifndef DARC_CHECK_MAIN_H
#define DARC_CHECK_MAIN_H

#include <check.h>

/*
 * Runs a suite and frees it; the result is main()'s. A call of the GSL error handler
 * fails the test that caused it. When the environment variable TEST_LOCALE is set, the
 * suite runs in that locale, and a locale that cannot be set is a failure.
 */
int darc_run(Suite *suite);

#endif
