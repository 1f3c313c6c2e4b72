/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gauge studies with published results, and what is refused. */
#include <dialarc/conformity.h>
#include <dialarc/gaugestudy.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "guide/anova.h"
#include "kit/check_main.h"
#include "kit/refdata.h"

#define MOST 200

static dialarc_gauge_lift lifts[MOST];

/* The data of a set, as lifts; how many. */
static size_t data_of(const char *set)
{
    refdata *table = refdata_open("anova_data.csv");
    size_t n = 0;
    for (size_t row = 0; row < refdata_rows(table); row++) {
        if (strcmp(refdata_text(table, row, "set"), set) != 0)
            continue;
        ck_assert_uint_lt(n, MOST);
        lifts[n++] = (dialarc_gauge_lift){refdata_number(table, row, "y"),
                                          (int)refdata_number(table, row, "engine"),
                                          (int)refdata_number(table, row, "hand")};
    }
    refdata_close(table);
    ck_assert_uint_gt(n, 0);
    return n;
}

static dialarc_gauge_study study_of(size_t n, const dialarc_gauge_lift *of)
{
    dialarc_gauge_study s;
    ck_assert_int_eq(dialarc_gauge_assess(n, of, &s), DIALARC_OK);
    return s;
}

static void expect(const char *set, const char *quantity, double computed)
{
    refdata_check_named("anova.csv", "set", set, "quantity", quantity, computed);
}

START_TEST(one_way_of_nist)
{
    const char *const sets[] = {"SiRstv", "AtmWtAg"};
    const double dof[][2] = {{4.0, 20.0}, {1.0, 46.0}};
    for (int k = 0; k < 2; k++) {
        size_t n = data_of(sets[k]);
        dialarc_gauge_study s = study_of(n, lifts);
        expect(sets[k], "between", s.by_engine.squares_mm2);
        expect(sets[k], "within", s.within.squares_mm2);
        expect(sets[k], "f", s.by_engine.f);
        ck_assert_double_eq(s.by_engine.dof, dof[k][0]);
        ck_assert_double_eq(s.within.dof, dof[k][1]);
    }
}
END_TEST

/* NIST StRD SmLs01 to SmLs09 by the rule of S. D. Simon and J. P. Lesage, Computational
 * Statistics and Data Analysis 8, 1989: nine treatments of 21, 201 or 2001 values about
 * 1.4, 1000000.4 and 1000000000000.4; certified F = 21, 201, 2001. */
static double simon_lesage(double tenths, int treatment, int replicate)
{
    double by_treatment = treatment == 0 ? 2.0 : treatment % 2 ? 1.0 : 3.0;
    double by_replicate = replicate == 0 ? 2.0 : replicate % 2 ? 1.0 : 3.0;
    return (tenths + by_treatment + by_replicate) / 10.0;
}

static size_t fill_simon_lesage(double tenths, int replicates, dialarc_gauge_lift *to)
{
    size_t n = 0;
    for (int i = 0; i < 9; i++)
        for (int k = 0; k < replicates; k++)
            to[n++] = (dialarc_gauge_lift){simon_lesage(tenths, i, k), i, 0};
    return n;
}

START_TEST(one_way_made_hard)
{
    const int replicates[] = {21, 201, 2001};
    const double tenths[] = {1e1, 1e7, 1e13};
    /* relative: what binary64 leaves of a tenth beside so many leading digits */
    const double tolerance[] = {5e-13, 2e-10, 2e-4};
    dialarc_gauge_lift *many = malloc((size_t)9 * 2001 * sizeof *many);
    ck_assert_ptr_nonnull(many);
    for (int t = 0; t < 3; t++)
        for (int k = 0; k < 3; k++) {
            size_t n = fill_simon_lesage(tenths[t], replicates[k], many);
            darc_cells cells; /* the door takes no lift above 1e9 */
            darc_anova anova;
            ck_assert_int_eq(darc_cells_of(n, many, &cells), DIALARC_OK);
            ck_assert_int_eq(darc_anova_of(&cells, &anova), DIALARC_OK);
            double f = anova.line[DARC_ENGINE].mean_square /
                       anova.line[DARC_REPETITION].mean_square;
            ck_assert_int_eq(anova.line[DARC_ENGINE].dof, 8);
            ck_assert_int_eq(anova.line[DARC_REPETITION].dof, 9 * (replicates[k] - 1));
            ck_assert_double_eq_tol(f / replicates[k], 1.0, tolerance[t]);
            darc_anova_free(&anova);
        }
    free(many);
}
END_TEST

/* JCGM 100:2008 H.5, table H.9 (from memory): means and standard deviations, in
 * microvolts above 10 V, of five voltages on each of ten days. Of the voltages
 * themselves, which are not printed, any with these two will do. */
START_TEST(days_of_the_gum)
{
    const double mean[] = {172, 116, 13, 144, 106, 31, 60, 125, 163, 41};
    const double sd[] = {60, 77, 111, 101, 67, 93, 80, 73, 88, 86};
    for (int day = 0; day < 10; day++)
        for (int k = 0; k < 5; k++)
            lifts[5 * day + k] = (dialarc_gauge_lift){
                mean[day] + sd[day] * (double[]){-1, -1, 0, 1, 1}[k], day, 0};
    dialarc_gauge_study s = study_of(50, lifts);
    ck_assert_double_eq_tol(s.mean_mm, 97.0, 0.5); /* 10.000097 V */
    ck_assert_double_eq_tol(sqrt(s.by_engine.mean_square_mm2 / 5), 57, 0.5); /* H.25 */
    ck_assert_double_eq_tol(sqrt(s.within.mean_square_mm2), 85.0, 0.5);
    ck_assert_double_eq_tol(s.by_engine.f, 5.0 * 57 * 57 / (85.0 * 85), 0.04); /* 2.25 */
    ck_assert_double_eq_tol(s.engine.sd_mm, 43.0, 0.5);
    ck_assert_double_eq_tol(s.repetition.sd_mm, 85.0, 0.5);
}
END_TEST

START_TEST(random_effects_of_lme4)
{
    size_t n = data_of("Dyestuff");
    dialarc_gauge_study s = study_of(n, lifts);
    expect("Dyestuff", "engine variance", s.engine.variance_mm2);
    expect("Dyestuff", "engine sd", s.engine.sd_mm);
    expect("Dyestuff", "repetition sd", s.repetition.sd_mm);
    ck_assert_double_nan(s.reproducibility.sd_mm); /* one hand shows none */
    ck_assert_double_nan(s.hand.sd_mm);
    ck_assert_double_eq(s.by_hand.dof, 0.0);

    n = data_of("Penicillin"); /* crossed, nothing repeated in a cell */
    s = study_of(n, lifts);
    expect("Penicillin", "engine variance", s.engine.sd_mm * s.engine.sd_mm);
    expect("Penicillin", "hand variance", s.hand.sd_mm * s.hand.sd_mm);
    expect("Penicillin", "repetition variance", s.repetition.sd_mm * s.repetition.sd_mm);
    ck_assert_double_nan(s.engine_hand.sd_mm);
    ck_assert_double_eq_tol(s.reproducibility.sd_mm,
                            hypot(s.hand.sd_mm, s.repetition.sd_mm), 1e-12);
}
END_TEST

/* A component below 0 is 0, with an interval that begins there and ends above it. */
START_TEST(negative_is_zero)
{
    size_t n = data_of("Dyestuff2");
    dialarc_gauge_study s = study_of(n, lifts);
    expect("Dyestuff2", "engine sd", s.engine.sd_mm);
    expect("Dyestuff2", "repetition sd", s.repetition.sd_mm);
    ck_assert_double_lt(s.engine.variance_mm2, 0.0);
    ck_assert_double_eq(s.engine.sd_low_mm, 0.0);
    ck_assert_double_gt(s.engine.sd_high_mm, 0.5);
}
END_TEST

/* One hand's repetition: chi-square of 20 degrees of freedom, 34.17 and 9.591 (JCGM and
 * every table of chi-square; recomputed with SciPy to 10 digits). */
START_TEST(interval_of_repetition)
{
    size_t n = data_of("SiRstv");
    dialarc_gauge_study s = study_of(n, lifts);
    double squares = s.within.squares_mm2;
    ck_assert_double_eq_tol(s.repetition.sd_low_mm, sqrt(squares / 34.1696069), 1e-9);
    ck_assert_double_eq_tol(s.repetition.sd_high_mm, sqrt(squares / 9.5907774), 1e-9);
    ck_assert_double_eq(s.repeatability.sd_mm, s.repetition.sd_mm);
}
END_TEST

/* ISO 5725-2 of laboratories with unequal numbers of results: s_L^2 = (s_d^2 - s_r^2)/n,
 * n = (sum n_i - sum n_i^2 / sum n_i)/(p - 1); worked out here for three hands. */
START_TEST(unequal_numbers_of_iso_5725)
{
    const double y[] = {0.90, 0.91, 0.92, 0.95, 0.93, 0.88, 0.90, 0.89, 0.91};
    const int hand[] = {0, 0, 0, 1, 1, 2, 2, 2, 2};
    for (int i = 0; i < 9; i++)
        lifts[i] = (dialarc_gauge_lift){y[i], 0, hand[i]};
    dialarc_gauge_study s = study_of(9, lifts);
    double mean = 8.19 / 9.0, m[] = {0.91, 0.94, 0.895};
    double between = 3 * (m[0] - mean) * (m[0] - mean) +
                     2 * (m[1] - mean) * (m[1] - mean) +
                     4 * (m[2] - mean) * (m[2] - mean);
    double within = 2e-4 + 2e-4 + 5e-4; /* (n_i - 1) s_i^2 */
    double n = (9.0 - (9.0 + 4.0 + 16.0) / 9.0) / 2.0;
    ck_assert_double_eq_tol(s.repetition.variance_mm2, within / 6.0, 1e-12);
    ck_assert_double_eq_tol(s.hand.variance_mm2, (between / 2.0 - within / 6.0) / n,
                            1e-12);
    ck_assert_double_eq_tol(s.reproducibility.variance_mm2,
                            s.hand.variance_mm2 + s.repetition.variance_mm2, 1e-12);
    ck_assert_double_nan(s.engine.sd_mm);
}
END_TEST

/* Crossed, with cells of 0 to 3 lifts, against a likelihood written anew and climbed by
 * SciPy's Nelder-Mead. */
START_TEST(unbalanced_as_scipy)
{
    size_t n = 0;
    unsigned draw = 1;
    for (int i = 0; i < 5; i++)
        for (int j = 0; j < 3; j++)
            for (int k = 0; k < (i * 7 + j * 5) % 4; k++) {
                draw = draw * 1103515245u + 12345u;
                double off = (double)((draw >> 16) % 100) * 1e-4;
                lifts[n++] = (dialarc_gauge_lift){
                    0.9 + 0.01 * i + 0.004 * j + 0.003 * ((i * j) % 3) + off, i, j};
            }
    dialarc_gauge_study s = study_of(n, lifts);
    ck_assert_uint_eq(n, 21);
    ck_assert_double_eq_tol(s.engine.sd_mm, 0.01637917, 5e-8);
    ck_assert_double_eq_tol(s.hand.sd_mm, 0.00466345, 5e-8);
    ck_assert_double_eq_tol(s.engine_hand.sd_mm, 0.00347531, 5e-8);
    ck_assert_double_eq_tol(s.repetition.sd_mm, 0.00232159, 5e-8);
}
END_TEST

/* The order of the rows and the numbers of engines and hands do not matter. */
START_TEST(order_does_not_matter)
{
    size_t n = data_of("Penicillin");
    dialarc_gauge_study s = study_of(n, lifts), t;
    dialarc_gauge_lift other[MOST];
    for (size_t i = 0; i < n; i++) {
        other[i] = lifts[(i * 7) % n];
        other[i].engine = 31 - other[i].engine;
        other[i].hand = (other[i].hand * 5 + 11) % 32;
    }
    t = study_of(n, other);
    ck_assert_double_eq_tol(t.engine.sd_mm, s.engine.sd_mm, 1e-8);
    ck_assert_double_eq_tol(t.hand.sd_high_mm, s.hand.sd_high_mm, 1e-8);
    ck_assert_double_eq_tol(t.mean_mm, s.mean_mm, 1e-12);
}
END_TEST

START_TEST(all_alike)
{
    for (int i = 0; i < 12; i++)
        lifts[i] = (dialarc_gauge_lift){0.9, i % 3, i / 6};
    dialarc_gauge_study s = study_of(12, lifts);
    dialarc_gauge_window w;
    ck_assert_double_eq(s.reproducibility.sd_high_mm, 0.0);
    ck_assert_double_eq(s.engine.sd_mm, 0.0);
    ck_assert_double_nan(s.by_engine.f);
    ck_assert_int_eq(dialarc_gauge_judge(&s, 0.88, 0.92, 0.0, &w), DIALARC_OK);
    ck_assert_int_eq(w.can, 1);
    ck_assert_double_nan(w.consumer);
}
END_TEST

START_TEST(window_can_be_judged_or_not)
{
    size_t n = data_of("SiRstv");
    dialarc_gauge_study s = study_of(n, lifts);
    dialarc_gauge_window w;
    double z; /* two-sided, in mid-window */
    ck_assert_int_eq(dialarc_conformity_z(0.9875, &z), DIALARC_OK);
    ck_assert_int_eq(dialarc_gauge_judge(&s, 195.0, 197.0, 0.0, &w), DIALARC_OK);
    ck_assert_double_eq(w.sd_mm, s.repeatability.sd_mm); /* there is one hand */
    ck_assert_double_eq_tol(w.sd_needed_mm, 1.0 / z, 1e-12);
    ck_assert_double_eq_tol(w.narrowest_window_mm, 2.0 * z * w.sd_mm, 1e-12);
    ck_assert_int_eq(w.can, 1);
    ck_assert_double_lt(w.consumer, 0.001);
    ck_assert_int_eq(dialarc_gauge_judge(&s, 196.1, 196.2, 0.0, &w), DIALARC_OK);
    ck_assert_int_eq(w.can, -1);
    ck_assert_double_nan(w.consumer);
    ck_assert_int_eq(dialarc_gauge_judge(&s, 195.95, 196.45, 0.0, &w), DIALARC_OK);
    ck_assert_int_eq(w.can, 0); /* 0.1116 is needed, 0.1041 was found, up to 0.150 */
    ck_assert_int_eq(dialarc_gauge_judge(&s, 195.0, 197.0, 0.5, &w), DIALARC_OK);
    ck_assert_int_eq(w.can, -1); /* what all lifts share counts, too */
    ck_assert_double_eq_tol(w.sd_mm, hypot(s.repeatability.sd_mm, 0.5), 1e-12);
}
END_TEST

/* JCGM 106:2012, 9.5: what is accepted by its limits, counted by dialarc_conformity. */
START_TEST(risks_as_jcgm_106)
{
    dialarc_gauge_study s = {.mean_mm = 0.9};
    dialarc_gauge_window w;
    s.reproducibility = (dialarc_component){1e-4, 0.01, 0.008, 0.012};
    s.engine.sd_mm = 0.04;
    ck_assert_int_eq(dialarc_gauge_judge(&s, 0.82, 0.98, 0.0, &w), DIALARC_OK);
    double from, to;
    dialarc_risks r;
    ck_assert_int_eq(dialarc_conformity_acceptance(0.975, 0.01, 0.82, 0.98, &from, &to),
                     DIALARC_OK);
    const dialarc_inspection inspection = {0.9, 0.04, 0.01, 0.82, 0.98, from - 0.82};
    ck_assert_int_eq(dialarc_conformity_risks(&inspection, &r), DIALARC_OK);
    ck_assert_double_eq(w.consumer, r.consumer);
    ck_assert_double_eq(w.producer, r.producer);
    ck_assert_double_gt(w.producer, w.consumer);
}
END_TEST

START_TEST(refused)
{
    dialarc_gauge_study s;
    dialarc_gauge_window w;
    dialarc_gauge_lift few[4] = {{0.9, 0, 0}, {0.9, 0, 0}, {0.8, 1, 1}, {0.8, 1, 1}};
    ck_assert_int_eq(dialarc_gauge_assess(4, NULL, &s), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_gauge_assess(4, few, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_gauge_assess(0, NULL, &s), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_gauge_assess(1, few, &s), DIALARC_ERR_SIZE);
    ck_assert_int_eq(dialarc_gauge_assess(100001, few, &s), DIALARC_ERR_SIZE);
    /* every hand has an engine of his own */
    ck_assert_int_eq(dialarc_gauge_assess(4, few, &s), DIALARC_ERR_NO_SOLUTION);
    /* nothing was repeated */
    few[1].engine = few[3].engine = 2;
    few[1].hand = few[3].hand = 0;
    ck_assert_int_eq(dialarc_gauge_assess(2, few, &s), DIALARC_ERR_NO_SOLUTION);
    few[0].lift_mm = NAN;
    ck_assert_int_eq(dialarc_gauge_assess(4, few, &s), DIALARC_ERR_NOT_FINITE);
    few[0].lift_mm = 2e9;
    ck_assert_int_eq(dialarc_gauge_assess(4, few, &s), DIALARC_ERR_RANGE);
    few[0].lift_mm = 0.9;
    const int wrong[] = {-1, DIALARC_GAUGE_LEVELS_MAX};
    for (int k = 0; k < 2; k++) {
        few[2].engine = wrong[k];
        ck_assert_int_eq(dialarc_gauge_assess(4, few, &s), DIALARC_ERR_CHOICE);
        few[2].engine = 1;
        few[2].hand = wrong[k];
        ck_assert_int_eq(dialarc_gauge_assess(4, few, &s), DIALARC_ERR_CHOICE);
        few[2].hand = 1;
    }
    size_t n = data_of("Dyestuff");
    s = study_of(n, lifts);
    ck_assert_int_eq(dialarc_gauge_judge(NULL, 1, 2, 0, &w), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_gauge_judge(&s, 1, 2, 0, NULL), DIALARC_ERR_NULL);
    ck_assert_int_eq(dialarc_gauge_judge(&s, NAN, 2, 0, &w), DIALARC_ERR_NOT_FINITE);
    ck_assert_int_eq(dialarc_gauge_judge(&s, 1, 2e9, 0, &w), DIALARC_ERR_RANGE);
    ck_assert_int_eq(dialarc_gauge_judge(&s, 2, 2, 0, &w), DIALARC_ERR_WINDOW);
    ck_assert_int_eq(dialarc_gauge_judge(&s, 1, 2, -1, &w), DIALARC_ERR_SD);
    s.repeatability.sd_low_mm = -1.0;
    ck_assert_int_eq(dialarc_gauge_judge(&s, 1, 2, 0, &w), DIALARC_ERR_SD);
}
END_TEST

/* 17 by 17 met once each are too many; 16 by 16 are taken. */
START_TEST(most_cells)
{
    dialarc_gauge_lift many[17 * 17];
    dialarc_gauge_study s;
    for (int i = 0; i < 17 * 17; i++)
        many[i] =
            (dialarc_gauge_lift){0.9 + 0.001 * (i % 7) - 0.002 * (i % 5), i / 17, i % 17};
    ck_assert_int_eq(dialarc_gauge_assess(17 * 17, many, &s), DIALARC_ERR_SIZE);
    for (int i = 0; i < 256; i++)
        many[i].engine = i / 16, many[i].hand = i % 16;
    ck_assert_int_eq(dialarc_gauge_assess(256, many, &s), DIALARC_OK);
    ck_assert_double_eq(s.within.dof, 225.0);
}
END_TEST

int main(void)
{
    Suite *s = suite_create("gaugestudy");
    TCase *t = tcase_create("published");
    tcase_add_test(t, one_way_of_nist);
    tcase_add_test(t, one_way_made_hard);
    tcase_add_test(t, days_of_the_gum);
    tcase_add_test(t, random_effects_of_lme4);
    tcase_add_test(t, negative_is_zero);
    tcase_add_test(t, interval_of_repetition);
    tcase_add_test(t, unequal_numbers_of_iso_5725);
    tcase_add_test(t, unbalanced_as_scipy);
    suite_add_tcase(s, t);
    t = tcase_create("rules");
    tcase_add_test(t, order_does_not_matter);
    tcase_add_test(t, all_alike);
    tcase_add_test(t, window_can_be_judged_or_not);
    tcase_add_test(t, risks_as_jcgm_106);
    tcase_add_test(t, refused);
    tcase_add_test(t, most_cells);
    suite_add_tcase(s, t);
    return darc_run(s);
}
