/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "review/lengths.h"

#include <math.h>

#include "core/finding.h"

/* Total lifts of these pumps are 2 to 3 mm (common practice, no source); what lies
 * outside the wide limits is no millimetre, or no such pump. */
#define LEAST_TOTAL_MM  0.8
#define MOST_TOTAL_MM   8.0
#define LEAST_WINDOW_MM 0.15 /* a window that ends below it */
#define SURE_SDS        4.0

/* A stated total lift is nominal: further off, by this share, it is another quantity. */
#define NOMINAL_SHARE 0.3

/* A reading that is as far from the window as a slip of the unit would make it. */
#define SLIP_SHARE 0.15

bool darc_window_is_possible(const darc_known *known)
{
    return !known->has_window ||
           (known->high_mm <= MOST_TOTAL_MM && known->high_mm >= LEAST_WINDOW_MM);
}

bool darc_lift_is_possible(double lift_mm)
{
    return fabs(lift_mm) <= MOST_TOTAL_MM;
}

bool darc_lift_may_be_a_slip(const darc_known *known, double lift_mm)
{
    static const double slip[] = {25.4, 1.0 / 25.4, 10.0, 0.1, 100.0, 0.01};
    double middle = 0.5 * (known->low_mm + known->high_mm);
    for (size_t k = 0; known->has_window && k < sizeof slip / sizeof slip[0]; k++)
        if (fabs(slip[k] * lift_mm - middle) <= SLIP_SHARE * middle)
            return true;
    return false;
}

void darc_check_lengths(const darc_known *known, const darc_estimate *estimate,
                        dialarc_timing *timing)
{
    double total = estimate->mean[DARC_ASK_TOTAL];
    double reach = SURE_SDS * sqrt(estimate->var[DARC_ASK_TOTAL]);
    bool possible = total + reach >= LEAST_TOTAL_MM && total - reach <= MOST_TOTAL_MM;
    if (known->has_lift)
        possible = possible && fabs(total - known->cam.lift_mm) <=
                                   NOMINAL_SHARE * known->cam.lift_mm + reach;
    if (!possible || !darc_window_is_possible(known))
        darc_findings_add(&timing->findings, DIALARC_FINDING_UNIT_MISTAKEN,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}
