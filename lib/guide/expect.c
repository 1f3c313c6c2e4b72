/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "guide/expect.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include "assess/assess.h"
#include "estimate/timing.h"
#include "guide/outlook.h"

/* Lobes that a cam to be learned may be: laws, and rises half an sd from the usual. */
#define LOBE_LAWS  7
#define LOBE_RISES 2
#define RISE_SDS   0.5
#define LOBES      (LOBE_LAWS * LOBE_RISES)

#define SLACK_DEG 3.0 /* as the prior has it */

/* What is expected of the lobes with which the readings can be used. */
typedef struct lobes {
    dialarc_budget budget[LOBES];
    double rate;
    int seen, usable;
    dialarc_findings findings; /* of one with which they cannot */
} lobes;

/* One lobe: what the sweep would say without scatter, and whether it can be used. Of a
 * given cam the uncertainty is that by the weights which readings have on the average. */
static dialarc_status look(darc_memory *m, const dialarc_setup *setup,
                           const darc_guess *guess, size_t n, const double *crank_deg,
                           double *dial_mm, lobes *all)
{
    darc_problem problem;
    darc_estimate estimate;
    dialarc_timing timing, told;
    dialarc_status status =
        darc_outlook_open(m, setup, guess, n, crank_deg, dial_mm, &problem);
    if (status != DIALARC_OK)
        return status;
    darc_timing_clear(&timing);
    if (problem.cam.given && darc_outlook_known(&m->fit, &problem, &estimate))
        darc_timing_tell(&estimate, &problem.known, &problem.noise, 1.0, &timing);
    darc_assess_timing(&problem, m, NULL, &told);
    if (!problem.cam.given)
        timing = told;
    all->seen++;
    if (dialarc_findings_worst(&told.findings) == DIALARC_SEVERITY_STOP ||
        !islessequal(timing.budget.total_mm, guess->lift_mm)) { /* or it is not known */
        all->findings = told.findings;
        return DIALARC_OK;
    }
    all->budget[all->usable++] = timing.budget;
    all->rate += timing.rate_mm_per_crank_deg;
    return DIALARC_OK;
}

/* Root mean square of a member of the budgets; NaN of none. */
static double rms(const lobes *all, size_t member)
{
    double sum = 0.0;
    for (int k = 0; k < all->usable; k++) {
        const char *budget = (const char *)&all->budget[k];
        double mm = *(const double *)(const void *)(budget + member);
        sum += mm * mm;
    }
    return all->usable ? sqrt(sum / all->usable) : DIALARC_UNKNOWN;
}

dialarc_status darc_expect(darc_memory *memory, const dialarc_setup *setup,
                           double lift_mm, size_t n, const double *crank_deg,
                           double *dial_mm, darc_expected *expected)
{
    dialarc_timing none;
    lobes all = {.seen = 0};
    darc_timing_clear(&none);
    all.findings = none.findings;
    for (int k = 0; k < (dialarc_setup_cam_known(setup) ? 1 : LOBES); k++) {
        const darc_guess guess = {lift_mm, SLACK_DEG, (dialarc_law)(1 + k % LOBE_LAWS),
                                  k < LOBE_LAWS ? -RISE_SDS : RISE_SDS};
        dialarc_status status = look(memory, setup, &guess, n, crank_deg, dial_mm, &all);
        if (status != DIALARC_OK)
            return status;
    }
    *expected = (darc_expected){
        .budget = {.readings_mm = rms(&all, offsetof(dialarc_budget, readings_mm)),
                   .tdc_mm = rms(&all, offsetof(dialarc_budget, tdc_mm)),
                   .hysteresis_mm = rms(&all, offsetof(dialarc_budget, hysteresis_mm)),
                   .cam_mm = rms(&all, offsetof(dialarc_budget, cam_mm)),
                   .dial_mm = rms(&all, offsetof(dialarc_budget, dial_mm)),
                   .wheel_mm = rms(&all, offsetof(dialarc_budget, wheel_mm)),
                   .total_mm = rms(&all, offsetof(dialarc_budget, total_mm))},
        .rate = all.usable ? all.rate / all.usable : DIALARC_UNKNOWN,
        .usable = (double)all.usable / all.seen,
        .findings = all.findings};
    return DIALARC_OK;
}
