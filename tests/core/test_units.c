/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/units.h>
#include <math.h>
#include <string.h>

#include "kit/check_main.h"
#include "kit/refdata.h"

typedef struct conversion {
    const char *name;
    double (*convert)(double);
    double (*back)(double);
} conversion;

#define PAIR(a, b)                                                                       \
    {#a, dialarc_##a, dialarc_##b},                                                      \
    {                                                                                    \
#b, dialarc_##b, dialarc_##a                                                     \
    }

static const conversion conversions[] = {
    PAIR(mm_from_in, in_from_mm),         PAIR(n_from_lbf, lbf_from_n),
    PAIR(nm_from_lbf_ft, lbf_ft_from_nm), PAIR(nm_from_lbf_in, lbf_in_from_nm),
    PAIR(pa_from_bar, bar_from_pa),       PAIR(k_from_celsius, celsius_from_k),
    PAIR(rad_from_deg, deg_from_rad),
};

#define CONVERSIONS (sizeof conversions / sizeof conversions[0])

static const conversion *find(const char *name)
{
    for (size_t i = 0; i < CONVERSIONS; i++)
        if (strcmp(conversions[i].name, name) == 0)
            return &conversions[i];
    ck_abort_msg("no function %s", name);
    return NULL;
}

/* Sources and tolerances stand in the table. */
START_TEST(conversions_agree_with_published_values)
{
    refdata *table = refdata_open("units.csv");
    for (size_t row = 0; row < refdata_rows(table); row++) {
        const conversion *c = find(refdata_text(table, row, "function"));
        refdata_check(table, row, c->convert(refdata_number(table, row, "input")));
    }
    refdata_close(table);
}
END_TEST

/* The way back is the test of the function without a published value of its own. */
START_TEST(the_way_back_leads_back)
{
    const double values[] = {1.0, 0.87, 1e-9, 1e9, -3.7, 300.0};
    for (size_t i = 0; i < CONVERSIONS; i++) {
        const conversion *c = &conversions[i];
        double kelvin = strstr(c->name, "celsius") ? 6e-14 : 0.0; /* last bit of 300 K */
        for (size_t k = 0; k < sizeof values / sizeof values[0]; k++) {
            double x = values[k], back = c->back(c->convert(x));
            ck_assert_double_le(fabs(back - x), 4e-16 * fabs(x) + kelvin);
        }
    }
}
END_TEST

START_TEST(signs_zeros_and_strange_numbers_pass)
{
    for (size_t i = 0; i < CONVERSIONS; i++) {
        double (*f)(double) = conversions[i].convert;
        ck_assert_double_nan(f((double)NAN));
        ck_assert_double_infinite(f((double)INFINITY));
        if (strstr(conversions[i].name, "celsius"))
            continue;
        ck_assert_double_eq(f(0.0), 0.0);
        ck_assert_double_eq(f(-2.5), -f(2.5));
    }
}
END_TEST

START_TEST(constants_have_functions)
{
    ck_assert_double_eq(dialarc_mm_per_in(), DIALARC_MM_PER_IN);
    ck_assert_double_eq(dialarc_n_per_lbf(), DIALARC_N_PER_LBF);
    ck_assert_double_eq(dialarc_nm_per_lbf_ft(), DIALARC_NM_PER_LBF_FT);
    ck_assert_double_eq(dialarc_nm_per_lbf_in(), DIALARC_NM_PER_LBF_IN);
    ck_assert_double_eq(dialarc_pa_per_bar(), DIALARC_PA_PER_BAR);
    ck_assert_double_eq(dialarc_k_at_0_celsius(), DIALARC_K_AT_0_CELSIUS);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("units");
    TCase *tc = tcase_create("conversions");
    tcase_add_test(tc, conversions_agree_with_published_values);
    tcase_add_test(tc, the_way_back_leads_back);
    tcase_add_test(tc, signs_zeros_and_strange_numbers_pass);
    tcase_add_test(tc, constants_have_functions);
    suite_add_tcase(suite, tc);
    return darc_run(suite);
}
