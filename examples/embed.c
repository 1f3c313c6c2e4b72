/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc.h>
#include <stdio.h>

/* Dial readings every 6 crank degrees from -84 to 12, zeroed at the minimum; invented. */
static const double dial_mm[] = {0.755, 0.480, 0.265, 0.110, 0.030, 0.000,
                                 0.000, 0.000, 0.000, 0.000, 0.015, 0.080,
                                 0.225, 0.440, 0.720, 1.035, 1.360};
enum { READINGS = sizeof dial_mm / sizeof dial_mm[0] };

int main(void)
{
    double crank_deg[READINGS];
    for (int i = 0; i < READINGS; i++)
        crank_deg[i] = -84.0 + 6.0 * i;

    dialarc_setup setup = dialarc_setup_unknown(4); /* lobes; the cam is learned */
    setup.lift_low_mm = 0.70;
    setup.lift_high_mm = 0.74;
    setup.tdc_sd_deg = 0.08; /* found by a stop on the piston */
    setup.angle_sd_deg = 0.1;
    setup.dial_error_mm = 0.003; /* from its calibration */
    dialarc_sweep sweep = {.n = READINGS, .crank_deg = crank_deg, .dial_mm = dial_mm};

    dialarc_workspace *workspace = dialarc_workspace_new(); /* one per thread */
    dialarc_timing timing;
    dialarc_decision decision;
    dialarc_status status = DIALARC_ERR_NO_MEMORY;
    if (workspace)
        status = dialarc_assess(workspace, &setup, &sweep, NULL, &timing, &decision);
    dialarc_workspace_free(workspace);
    if (status < DIALARC_OK) {
        fprintf(stderr, "%s\n", dialarc_status_text(status));
        return 1;
    }
    printf("lift at TDC %.2f mm, within %.2f mm. %s\n", timing.lift_mm, timing.lift_u_mm,
           dialarc_verdict_text(decision.verdict));
    return 0;
}
