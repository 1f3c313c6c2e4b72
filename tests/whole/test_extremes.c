/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every public function that computes, with the numbers of its input replaced by what no
 * engine has: one by one, several at a time, pointers by NULL. Whatever comes, a result
 * that is called good is finite, but for what its header says may be unknown, and a call
 * that fails has written nothing. The rule is that of DEVELOPERS.md.
 */
#include <float.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/every_call.h"
#include "kit/rng_kit.h"
#include "kit/sweep_kit.h"

static const double extreme[] = {0.0,
                                 -0.0,
                                 1.0,
                                 -1.0,
                                 5e-324,
                                 -5e-324,
                                 1e-310,
                                 1e-300,
                                 -1e-300,
                                 1e-160,
                                 1e-150,
                                 1e-100,
                                 1e-30,
                                 1e-12,
                                 -1e-12,
                                 1e-9,
                                 1e-6,
                                 1e-3,
                                 -1e-3,
                                 0.5,
                                 10.0,
                                 89.999,
                                 90.0,
                                 180.0,
                                 1e3,
                                 -1e3,
                                 1e5,
                                 -1e5,
                                 1e9,
                                 -1e9,
                                 1e16,
                                 -1e16,
                                 1e42,
                                 -1e42,
                                 1e100,
                                 1e150,
                                 1e160,
                                 1e200,
                                 -1e200,
                                 1e300,
                                 -1e300,
                                 DBL_MAX,
                                 -DBL_MAX,
                                 (double)NAN,
                                 (double)INFINITY,
                                 -(double)INFINITY};
static const int whole[] = {0,  1,  -1,  2,    3,     4,       5,
                            12, 17, 100, -100, 10000, INT_MAX, INT_MIN};
#define NUMBERS (sizeof extreme / sizeof extreme[0])
#define WHOLES  (sizeof whole / sizeof whole[0])

/* These take a thousand times as long as the rest. */
static const char *const slow[] = {
    "timing_estimate", "assess",           "batch_assess",          "lobes_estimate",
    "learned_cam_new", "whatif_propagate", "propagate_monte_carlo", "propagate_adaptive",
    "reuse_estimate",  "pluck_frequency",  "pluck_span_frequency",  "design_expect",
    "design_choose",   "design_next"};

static bool is_slow(const every_call *call)
{
    for (size_t i = 0; i < sizeof slow / sizeof slow[0]; i++)
        if (strcmp(call->function, slow[i]) == 0)
            return true;
    return false;
}

/* A size as it was may be less, no more: the arrays end there. */
static void replace(const every_number *slot, size_t choice)
{
    unsigned v = (unsigned)choice;
    if (slot->kind == EVERY_NUMBER)
        *(double *)slot->at = extreme[choice % NUMBERS];
    else if (slot->kind == EVERY_INT)
        *(int *)slot->at = whole[choice % WHOLES];
    else if (slot->kind == EVERY_WORD)
        *(uint32_t *)slot->at = v;
    else if (slot->kind == EVERY_COUNT)
        *(size_t *)slot->at /= 1 + choice % 8;
    else if (slot->kind == EVERY_PLACE)
        *(size_t *)slot->at = choice % 2 ? choice : SIZE_MAX / (1 + choice);
    else
        *(void **)slot->at = NULL;
}

static size_t size_of(const every_number *slot)
{
    switch (slot->kind) {
    case EVERY_NUMBER:
        return sizeof(double);
    case EVERY_INT:
        return sizeof(int);
    case EVERY_WORD:
        return sizeof(uint32_t);
    case EVERY_COUNT:
    case EVERY_PLACE:
        return sizeof(size_t);
    default:
        return sizeof(void *);
    }
}

static size_t choices_of(const every_number *slot)
{
    return slot->kind == EVERY_NUMBER ? NUMBERS : slot->kind == EVERY_INT ? WHOLES : 4;
}

static int broken; /* promises, of which the first are printed */

/* Calls with the k-th choice for `count` numbers; everything is put back. */
static void try_choices(every_call *call, size_t count, const size_t *at,
                        const size_t *choice)
{
    unsigned char was[8][8];
    int status;
    for (size_t i = 0; i < count; i++) {
        memcpy(was[i], call->slot[at[i]].at, size_of(&call->slot[at[i]]));
        replace(&call->slot[at[i]], choice[i]);
    }
    if (!every_again(call, &status) && ++broken <= 40)
        printf("%s: %s by choice %zu%s, status %d: %s\n", call->function,
               call->slot[at[0]].name, choice[0], count > 1 ? " and others" : "", status,
               call->not_finite);
    for (size_t i = count; i-- > 0;)
        memcpy(call->slot[at[i]].at, was[i], size_of(&call->slot[at[i]]));
}

/* A function of which no call is kept escapes all of this. */
START_TEST(test_every_function_is_called)
{
    for (const char *const *name = every_function; *name; name++) {
        size_t kept = 0;
        for (size_t i = 0; i < every_calls; i++)
            kept += strcmp(every_list[i]->function, *name) == 0;
        ck_assert_msg(kept > 0,
                      "no call of dialarc_%s() is kept: tests/kit/every_scene.c", *name);
    }
}
END_TEST

/* What was kept is called again as it was, to the same end. */
START_TEST(test_kept_calls_are_good)
{
    int status;
    for (size_t i = 0; i < every_calls; i++)
        ck_assert_msg(every_again(every_list[i], &status), "%s: %s",
                      every_list[i]->function, every_list[i]->not_finite);
}
END_TEST

START_TEST(test_one_number)
{
    for (size_t i = 0; i < every_calls; i++) {
        every_call *call = every_list[i];
        for (size_t at = 0; at < call->slots && !is_slow(call); at++)
            for (size_t k = 0; k < choices_of(&call->slot[at]); k++)
                if (!kit_skips((int)(at + k)))
                    try_choices(call, 1, &at, &k);
    }
    ck_assert_int_eq(broken, 0);
}
END_TEST

/* Seeded: several numbers of a call, or one of a slow one. */
START_TEST(test_several_numbers)
{
    gsl_rng *rng = kit_seeded(20261201);
    for (size_t i = 0; i < every_calls; i++) {
        every_call *call = every_list[i];
        int trials = kit_count(is_slow(call) ? 40 : 1000);
        for (int t = 0; t < trials && call->slots > 0; t++) {
            size_t at[3], choice[3], count = 1 + gsl_rng_uniform_int(rng, 3);
            for (size_t k = 0; k < 3; k++) {
                at[k] = gsl_rng_uniform_int(rng, call->slots);
                choice[k] = gsl_rng_uniform_int(rng, NUMBERS);
            }
            try_choices(call, count, at, choice);
        }
    }
    gsl_rng_free(rng);
    ck_assert_int_eq(broken, 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("extremes");
    TCase *tcase = tcase_create("every function");
    every_prepare();
    tcase_add_test(tcase, test_every_function_is_called);
    tcase_add_test(tcase, test_kept_calls_are_good);
    tcase_add_test(tcase, test_one_number);
    tcase_add_test(tcase, test_several_numbers);
    suite_add_tcase(suite, tcase);
    return darc_run(suite);
}
