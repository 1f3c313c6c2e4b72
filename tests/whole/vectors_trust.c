/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Vectors: how far to trust. */
#include "whole/vectors.h"

/* A model that every language writes for itself. */
static double product(const double *x, void *context)
{
    (void)context;
    return x[0] * x[1];
}

/* Two inputs that belong together, and one that is known from few readings. */
static void propagation_calls(void)
{
    static const dialarc_input wide = {DIALARC_SHAPE_NORMAL, 3, 0.1, 0, 0},
                               tall = {DIALARC_SHAPE_NORMAL, 4, 0.2, 0, 0},
                               few = {DIALARC_SHAPE_STUDENT, 4, 0.2, 6, 0},
                               flat = {DIALARC_SHAPE_NORMAL, 0, 0.2, 0, 0};
    const dialarc_input normal[] = {wide, tall}, with_few[] = {wide, few},
                        about_zero[] = {flat, flat};
    const double correlation[] = {1, 0.5, 0.5, 1};
    const char *source = "tests/trust/test_propagate_budget.c";
    dialarc_propagated budget;
    dialarc_propagation trials;
    dialarc_adaptive adaptive;
#define INPUT(object)                                                                    \
    MAKE(Input, object);                                                                 \
    SET(object, shape);                                                                  \
    SET(object, centre);                                                                 \
    SET(object, spread);                                                                 \
    SET(object, dof)
    INPUT(wide);
    INPUT(tall);
    INPUT(few);
    INPUT(flat);
#define BUDGET(words, together)                                                          \
    vector_begin("propagate_budget", source);                                            \
    vector_words(words);                                                                 \
    together;                                                                            \
    vector_words("product")
    BUDGET("wide;tall", vector_numbers(4, correlation));
    vector_must(dialarc_propagate_budget(2, normal, correlation, product, NULL, &budget));
    FIELD(budget, value);
    FIELD(budget, sd);
    FIELD(budget, mean);
    FIELD(budget, second_sd);
    BUDGET("wide;few", vector_object(NULL));
    vector_must(dialarc_propagate_budget(2, with_few, NULL, product, NULL, &budget));
    FIELD(budget, sd);
    FIELD(budget, dof);
    FIELD(budget, second_sd);
    BUDGET("flat;flat", vector_object(NULL));
    vector_must(dialarc_propagate_budget(2, about_zero, NULL, product, NULL, &budget));
    FIELD(budget, sd);
    FIELD(budget, second_sd);
    vector_begin("propagate_monte_carlo", "refdata/propagate.csv");
    vector_words("wide;few product 1000 7 0.95");
    vector_must(dialarc_propagate_monte_carlo(2, with_few, product, NULL, 1000, 7, 0.95,
                                              &trials));
    FIELD(trials, mean);
    FIELD(trials, sd);
    FIELD(trials, shortest_high);
    vector_begin("propagate_adaptive", "tests/trust/test_montecarlo.c");
    vector_words("wide;tall");
    vector_numbers(4, correlation);
    vector_words("product 1 20000 7 0.95");
    vector_must(dialarc_propagate_adaptive(2, normal, correlation, product, NULL, 1,
                                           20000, 7, 0.95, &adaptive));
    FIELD(adaptive, output.sd);
    FIELD(adaptive, output.low);
    FIELD(adaptive, trials);
    FIELD(adaptive, digits);
    FIELD(adaptive, scatter);
}

/* One setting by dial, by spill at the same mark, and by a strobe. */
static void crosscheck_calls(void)
{
    static const double rpm[] = {800.0, 1500.0, 2250.0}, timing[] = {5.125, 3.5, 1.25};
    dialarc_witness dial = {2.0, 0.2, 0.3, 0.0, 0.1, 1, 0, 0};
    dialarc_witness spill = {2.5, 0.4, 0.3, 0.2, 0.1, 1, 0, 0};
    dialarc_witness strobe = {3.25, 0.5, 0.0, 0.0, 0.0, 0, 0, 0};
    dialarc_at_rest rest;
    dialarc_crosscheck check;
    MAKE(Witness, dial);
    SET(dial, advance_crank_deg);
    SET(dial, own_sd_crank_deg);
    SET(dial, mark_sd_crank_deg);
    SET(dial, cam_sd_crank_deg);
    SET(dial, mark);
    MAKE(Witness, spill);
    SET(spill, advance_crank_deg);
    SET(spill, own_sd_crank_deg);
    SET(spill, mark_sd_crank_deg);
    SET(spill, wheel_sd_crank_deg);
    SET(spill, cam_sd_crank_deg);
    SET(spill, mark);
    MAKE(Witness, strobe);
    SET(strobe, advance_crank_deg);
    SET(strobe, own_sd_crank_deg);
    const dialarc_witness all[] = {dial, spill, strobe};
    vector_begin("crosscheck_assess", "tests/guide/test_crosscheck.c");
    vector_words("dial;spill;strobe");
    vector_must(dialarc_crosscheck_assess(3, all, &check));
    FIELD(check, advance_crank_deg);
    FIELD(check, sd_crank_deg);
    FIELD(check, chi_square);
    FIELD(check, farthest_crank_deg);
    FIELD(check, farthest_probability);
    vector_begin("crosscheck_at_rest", "tests/guide/test_crosscheck.c");
    vector_numbers(3, rpm);
    vector_numbers(3, timing);
    vector_number(0.25);
    vector_must(dialarc_crosscheck_at_rest(3, rpm, timing, 0.25, &rest));
    FIELD(rest, advance_crank_deg);
    FIELD(rest, sd_crank_deg);
    FIELD(rest, delay_ms);
    FIELD(rest, delay_sd_ms);
}

void vectors_trust(void)
{
    static const dialarc_inspection inspection = {0.9, 0.02, 0.005, 0.86, 0.94, 0.002};
    static const dialarc_input bell = {
        .shape = DIALARC_SHAPE_NORMAL, .centre = 1, .spread = 0.1};
    const double ones[] = {1, 1, -0.5}, sds[] = {0.1, 0.2, 0.05}, dofs[] = {5, 9, 50};
    const double correlation[] = {1, 0.3, 0, 0.3, 1, -0.2, 0, -0.2, 1};
    const double means[] = {0.84, 0.9, 0.95};
    const char *doubt = "refdata/budget.csv", *ok = "refdata/conformity.csv";
    double one, out[3];
    dialarc_conformity where;
    dialarc_risks risks;
    NUMBER(doubt, uncertainty_half_width, DIALARC_SHAPE_ARCSINE, 0.1);
    NUMBER(doubt, uncertainty_rounding, 0.005);
    NUMBER("refdata/student_t.csv", uncertainty_t_quantile, 0.975, 10.0);
    NUMBER("refdata/student_t.csv", uncertainty_coverage_factor, 0.95, 7.5);
    vector_begin("uncertainty_combine", doubt);
    vector_numbers(3, ones);
    vector_numbers(3, sds);
    vector_object(NULL);
    vector_must(dialarc_uncertainty_combine(3, ones, sds, NULL, &one));
    vector_put("1", one);
    vector_begin("uncertainty_combine", doubt);
    vector_numbers(3, ones);
    vector_numbers(3, sds);
    vector_numbers(9, correlation);
    vector_must(dialarc_uncertainty_combine(3, ones, sds, correlation, &one));
    vector_put("1", one);
    vector_begin("uncertainty_shares", "tests/trust/test_uncertainty.c");
    vector_numbers(3, ones);
    vector_numbers(3, sds);
    vector_must(dialarc_uncertainty_shares(3, ones, sds, out));
    vector_put_all("1", 3, out);
    vector_begin("uncertainty_effective_dof", doubt);
    vector_numbers(3, sds);
    vector_numbers(3, dofs);
    vector_must(dialarc_uncertainty_effective_dof(3, sds, dofs, &one));
    vector_put("1", one);
    NUMBER(ok, conformity_probability, 0.9, 0.0125, 0.86, 0.94);
    NUMBER(ok, conformity_z, 0.95);
    NUMBER(ok, conformity_guard_band, 0.95, 0.0125);
    vector_begin("conformity_probabilities", ok);
    vector_numbers(3, means);
    vector_numbers(3, sds);
    vector_number(0.86);
    vector_number(0.94);
    vector_must(dialarc_conformity_probabilities(3, means, sds, 0.86, 0.94, out));
    vector_put_all("1", 3, out);
    NUMBER("tests/trust/test_conformity.c", conformity_budget, 0.975, 0.86, 0.90);
    vector_begin("conformity_acceptance", "tests/trust/test_conformity.c");
    vector_words("0.975 0.0069 0.86 0.9");
    vector_must(
        dialarc_conformity_acceptance(0.975, 0.0069, 0.86, 0.90, &out[0], &out[1]));
    vector_put("1", out[0]);
    vector_put("2", out[1]);
    RECORD(ok, where, conformity_split, 0.9, 0.0125, 0.86, 0.94);
    FIELD(where, below);
    FIELD(where, inside);
    FIELD(where, above);
    MAKE(Inspection, inspection);
    SET(inspection, process_mean);
    SET(inspection, process_sd);
    SET(inspection, gauge_sd);
    SET(inspection, low);
    SET(inspection, high);
    SET(inspection, guard);
    RECORD(ok, risks, conformity_risks, &inspection);
    FIELD(risks, consumer);
    FIELD(risks, producer);
    MAKE(Input, bell);
    SET(bell, shape);
    SET(bell, centre);
    SET(bell, spread);
    NUMBER("refdata/propagate.csv", input_sd, &bell);
    propagation_calls();
    crosscheck_calls();
}
