/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Whether the lift repeats as the setup says: lobes at another spacing, and fits that
 * another count of lobes explains better. */
#include <math.h>

#include "core/finding.h"
#include "estimate/known_cam.h"
#include "kit/fit_kit.h"
#include "review/lobe_mismatch.h"

static int mismatch(const bench *b, const darc_goodness *g)
{
    darc_memory *m = (darc_memory *)&b->memory;
    dialarc_timing t = {.lift_mm = 0.0};
    darc_findings_clear(&t.findings);
    darc_check_lobes(&b->problem, g, &m->other, m->sample_mm, &t);
    return dialarc_findings_has(&t.findings, DIALARC_FINDING_LOBE_COUNT_MISMATCH);
}

/* One way over two lobes and a half of a pump of `lobes`, with the setup of another. */
static void two_lobes(bench *b, int lobes, double wheel, int stated)
{
    sim_random r;
    sim_seed(&r, 970);
    sim_job job = kit_job(&r);
    double pitch = 360.0 / lobes;
    job.cam = (sim_cam){.lobes = lobes,
                        .lift_mm = 2.3,
                        .rise_deg = 0.44 * pitch,
                        .top_deg = 0.05 * pitch,
                        .base_deg = 0.12 * pitch,
                        .rise_law = 4,
                        .fall_law = 4};
    job.start_deg = -3.0 * pitch;
    job.end_deg = 2.0 * pitch;
    job.step_deg = 1.0;
    job.two_way = 0;
    dialarc_setup setup = kit_setup(&job, 0);
    setup.lobes = stated;
    setup.crank_per_pump = 2.0 * wheel;
    set_bench(b, &job, &setup, &r);
}

/* A good fit is not asked twice, but its spacing is: 7 % are what lobes and wheel may be
 * out by. */
START_TEST(spacing)
{
    static bench b;
    const darc_goodness good = {.scatter = 1.0};
    const double wheel[] = {0.92, 0.95, 1.0, 1.05, 1.09};
    for (int k = 0; k < 5; k++) {
        two_lobes(&b, 4, wheel[k], 4);
        ck_assert_int_eq(mismatch(&b, &good), k == 0 || k == 4);
        clear_bench(&b);
    }
    for (int stated = 2; stated <= 8; stated++) {
        two_lobes(&b, 5, 1.0, stated);
        ck_assert_int_eq(mismatch(&b, &good), stated != 5);
        clear_bench(&b);
    }
}
END_TEST

/* A sweep over less than a lobe has no spacing: then a poor fit gives way to another
 * count that fits, and one that is poor for another reason does not. */
START_TEST(another_count_fits)
{
    static bench b;
    for (int wrong = 0; wrong < 2; wrong++) {
        sim_random r;
        darc_estimate e;
        sim_seed(&r, 971);
        sim_job job = kit_job(&r);
        double pitch = 60.0;
        job.cam = (sim_cam){.lobes = 6,
                            .lift_mm = 2.3,
                            .rise_deg = 0.44 * pitch,
                            .top_deg = 0.05 * pitch,
                            .base_deg = 0.12 * pitch,
                            .rise_law = 4,
                            .fall_law = 4};
        job.foot_crank_deg = -24.0;
        job.start_deg = -60.0;
        job.end_deg = 50.0;
        job.step_deg = 1.0;
        dialarc_setup setup = kit_setup(&job, 1);
        if (wrong) { /* flanks as of the setup's own four */
            setup.lobes = 4;
            setup.rise_deg = 40.0;
            setup.base_dwell_deg = 11.0;
        }
        set_bench(&b, &job, &setup, &r);
        darc_fit_known(&b.memory.fit, &b.memory.trial, &b.problem, &e);
        darc_goodness g = darc_goodness_of(&b.memory.fit, &b.problem.record);
        ck_assert_int_eq(mismatch(&b, &g), wrong);
        if (!wrong) { /* poor, and no other count is better */
            g.scatter = 5.0;
            ck_assert_int_eq(mismatch(&b, &g), 0);
        }
        clear_bench(&b);
    }
}
END_TEST

int main(void)
{
    Suite *s = suite_create("lobe_mismatch");
    TCase *c = tcase_create("count");
    tcase_add_test(c, spacing);
    tcase_add_test(c, another_count_fits);
    suite_add_tcase(s, c);
    return darc_run(s);
}
