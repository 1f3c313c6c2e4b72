/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Errors of reading out of archives of simulated sweeps, whose errors are known; the
 * setups do not state them.
 */
#include <dialarc/archive.h>
#include <math.h>

#include "kit/check_main.h"
#include "kit/simulate.h"
#include "kit/sweep_kit.h"

static dialarc_workspace *workspace;

static void open_workspace(void)
{
    workspace = dialarc_workspace_new();
    ck_assert_ptr_nonnull(workspace);
}

static void close_workspace(void)
{
    dialarc_workspace_free(workspace);
}

typedef struct shop {
    int known, sweeps, archives;
    double angle_sd_deg, dial_sd_mm, step_mm, misread_share;
} shop;

static void add_sweep(dialarc_archive *archive, const shop *s, sim_random *r)
{
    static sim_sweep run;
    sim_job job = kit_job(r);
    job.angle_sd_deg = s->angle_sd_deg;
    job.dial_sd_mm = s->dial_sd_mm;
    job.dial_step_mm = s->step_mm;
    job.misread_share = s->misread_share;
    sim_run(&job, r, &run);
    dialarc_setup setup = kit_setup(&job, s->known);
    setup.angle_sd_deg = setup.dial_sd_mm = DIALARC_UNKNOWN;
    dialarc_sweep sweep = kit_sweep(&run);
    ck_assert_int_ge(dialarc_archive_add(archive, workspace, &setup, &sweep), DIALARC_OK);
}

static dialarc_reading_errors errors_of(const shop *s, sim_random *r)
{
    dialarc_archive *archive;
    dialarc_reading_errors e;
    ck_assert_int_eq(dialarc_archive_new(&archive), DIALARC_OK);
    for (int i = 0; i < s->sweeps; i++)
        add_sweep(archive, s, r);
    ck_assert_int_eq(dialarc_archive_errors(archive, &e), DIALARC_OK);
    ck_assert_uint_eq(e.sweeps + e.left_out, (size_t)s->sweeps);
    dialarc_archive_free(archive);
    return e;
}

/* As assumed, much larger, much smaller; a graduation that hides them; misreads; cams
 * that are learned from the sweeps themselves. */
static const shop shops[] = {
    {1, 5, 25, 0.2, 0.003, 0.005, 0.0},  {1, 5, 16, 1.0, 0.010, 0.01, 0.0},
    {1, 5, 16, 0.05, 0.001, 0.002, 0.0}, {1, 5, 16, 0.2, 0.003, 0.01, 0.05},
    {1, 20, 3, 0.4, 0.006, 0.01, 0.0},   {0, 4, 3, 0.3, 0.004, 0.005, 0.0},
};
enum { SHOPS = sizeof shops / sizeof shops[0] };

START_TEST(recovered_within_their_intervals)
{
    const shop *s = &shops[_i];
    const int n = s->archives < 10 ? s->archives : kit_count(s->archives);
    int missed = 0;
    double dial = 0.0, angle = 0.0;
    sim_random r;
    sim_seed(&r, 77u + (unsigned)_i);
    for (int k = 0; k < n; k++) {
        dialarc_reading_errors e = errors_of(s, &r);
        missed += s->dial_sd_mm < e.dial_sd_low_mm || s->dial_sd_mm > e.dial_sd_high_mm;
        missed +=
            s->angle_sd_deg < e.angle_sd_low_deg || s->angle_sd_deg > e.angle_sd_high_deg;
        dial += e.dial_sd_mm / s->dial_sd_mm / n;
        angle += e.angle_sd_deg / s->angle_sd_deg / n;
        ck_assert_double_lt(e.dial_sd_high_mm, 1.8 * e.dial_sd_mm);
        ck_assert_double_gt(e.angle_sd_low_deg, 0.6 * e.angle_sd_deg);
    }
    double pairs = 2.0 * n;
    ck_assert_double_le(missed, 1.0 + 0.05 * pairs + 3.0 * sqrt(0.0475 * pairs));
    double chance = 0.3 / sqrt((double)s->sweeps * n); /* of a mean: three sds and more */
    ck_assert_double_eq_tol(dial, 1.0, 0.02 + chance);
    ck_assert_double_eq_tol(angle, 1.0, 0.02 + chance);
}
END_TEST

/* More sweeps tell more: the intervals of 20 are about half as wide as those of 5. */
START_TEST(more_sweeps_tell_more)
{
    shop s = shops[0];
    sim_random r;
    sim_seed(&r, 5u);
    dialarc_reading_errors few = errors_of(&s, &r);
    s.sweeps = 20;
    dialarc_reading_errors many = errors_of(&s, &r);
    double ratio = log(many.angle_sd_high_deg / many.angle_sd_low_deg) /
                   log(few.angle_sd_high_deg / few.angle_sd_low_deg);
    ck_assert_double_eq_tol(ratio, 0.5, 0.1);
    ck_assert_uint_gt(many.flat_readings, few.flat_readings);
    ck_assert_uint_gt(many.flank_readings, 2 * few.flank_readings);
}
END_TEST

/* A dial that is read to 0.01 mm and errs by less than a tenth of that: no lower end. */
START_TEST(hidden_by_the_graduation)
{
    const shop s = {1, 2, 1, 0.2, 0.0005, 0.01, 0.0};
    sim_random r;
    sim_seed(&r, 9u);
    dialarc_reading_errors e = errors_of(&s, &r);
    ck_assert_double_lt(e.dial_sd_low_mm, 0.0012);
    ck_assert_double_lt(e.dial_sd_high_mm, 0.006);
}
END_TEST

START_TEST(nothing_to_tell)
{
    dialarc_archive *archive;
    dialarc_reading_errors e;
    const double crank[] = {-20, -10, 0}, dial[] = {0.1, 0.1, 0.1};
    const dialarc_sweep three = {3, crank, dial, NULL};
    const dialarc_setup setup = dialarc_setup_unknown(4);
    ck_assert_int_eq(dialarc_archive_new(&archive), DIALARC_OK);
    ck_assert_int_eq(dialarc_archive_add(archive, workspace, &setup, &three), DIALARC_OK);
    ck_assert_int_eq(dialarc_archive_errors(archive, &e), DIALARC_OK);
    ck_assert_uint_eq(e.sweeps, 0);
    ck_assert_uint_eq(e.left_out, 1);
    ck_assert_double_nan(e.dial_sd_mm);
    ck_assert_double_nan(e.angle_sd_high_deg);
    dialarc_archive_free(archive);
}
END_TEST

START_TEST(refused)
{
    dialarc_archive *archive;
    dialarc_reading_errors e;
    const double crank[] = {-20, -10, NAN}, dial[] = {0.1, 0.1, 0.1};
    const dialarc_sweep bad = {3, crank, dial, NULL};
    dialarc_setup setup = dialarc_setup_unknown(4);
    ck_assert_int_eq(dialarc_archive_new(NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_archive_new(&archive), DIALARC_OK);
    ck_assert_int_eq(dialarc_archive_add(NULL, workspace, &setup, &bad),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_archive_add(archive, NULL, &setup, &bad), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_archive_add(archive, workspace, NULL, &bad),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_archive_add(archive, workspace, &setup, NULL),
                     DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_archive_add(archive, workspace, &setup, &bad),
                     DIALARC_ERR_NOT_FINITE);
    setup.lobes = 0;
    ck_assert_int_eq(dialarc_archive_add(archive, workspace, &setup, &bad),
                     DIALARC_ERR_LOBES);
    ck_assert_int_eq(dialarc_archive_errors(NULL, &e), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_archive_errors(archive, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_archive_errors(archive, &e), DIALARC_OK);
    ck_assert_uint_eq(e.sweeps + e.left_out, 0);
    dialarc_archive_free(archive);
    dialarc_archive_free(NULL);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("archive");
    TCase *t = tcase_create("archive");
    tcase_set_timeout(t, 300);
    tcase_add_checked_fixture(t, open_workspace, close_workspace);
    tcase_add_loop_test(t, recovered_within_their_intervals, 0, SHOPS);
    tcase_add_test(t, more_sweeps_tell_more);
    tcase_add_test(t, hidden_by_the_graduation);
    tcase_add_test(t, nothing_to_tell);
    tcase_add_test(t, refused);
    suite_add_tcase(s, t);
    return darc_run(s);
}
