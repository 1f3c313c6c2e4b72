/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The Cramer-Rao bound of what the simulator's readings can tell. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "kit/simulate.h"

#define PI 3.14159265358979323846

#define MOST     (7 + 2 * SIM_LOBES)
#define SEGMENTS MOST /* first of three unknowns: rise, top dwell and base dwell */

/* g' a^-1 g by Gaussian elimination with pivoting. */
static double quadratic_inverse(int m, double a[][MOST], const double *g)
{
    double s[MOST][MOST + 1];
    for (int i = 0; i < m; i++) {
        for (int k = 0; k < m; k++)
            s[i][k] = a[i][k];
        s[i][m] = g[i];
    }
    for (int i = 0; i < m; i++) {
        int p = i;
        for (int k = i + 1; k < m; k++)
            if (fabs(s[k][i]) > fabs(s[p][i]))
                p = k;
        for (int k = 0; k <= m; k++) {
            double t = s[i][k];
            s[i][k] = s[p][k];
            s[p][k] = t;
        }
        for (int k = i + 1; k < m; k++) {
            double f = s[k][i] / s[i][i];
            for (int l = i; l <= m; l++)
                s[k][l] -= f * s[i][l];
        }
    }
    double x[MOST], q = 0;
    for (int i = m - 1; i >= 0; i--) {
        x[i] = s[i][m];
        for (int k = i + 1; k < m; k++)
            x[i] -= s[i][k] * x[k];
        x[i] /= s[i][i];
        q += x[i] * g[i];
    }
    return q;
}

/* The unknowns: five of drive, cam and dial, then run-out, then lobes from the second. */
static sim_job changed(const sim_job *job, int k, double by)
{
    sim_job c = *job;
    double *field[5] = {&c.zero_mm, &c.foot_crank_deg, &c.cam.lift_mm, &c.slack_deg,
                        &c.hysteresis_mm};
    double *segment[3] = {&c.cam.rise_deg, &c.cam.top_deg, &c.cam.base_deg};
    if (k < 5) {
        *field[k] += by;
    } else if (k >= SEGMENTS) {
        *segment[k - SEGMENTS] += by;
    } else if (k < 7) { /* along the phase, and across it */
        double phase = c.cam.run_out_phase_deg * PI / 180;
        double x = c.cam.run_out_mm * cos(phase), y = c.cam.run_out_mm * sin(phase);
        x += by * (k == 5 ? cos(phase) : -sin(phase));
        y += by * (k == 5 ? sin(phase) : cos(phase));
        c.cam.run_out_mm = hypot(x, y);
        c.cam.run_out_phase_deg = atan2(y, x) * 180 / PI;
    } else if (k < 6 + job->cam.lobes) {
        c.cam.late_deg[k - 6] += by / job->crank_per_pump;
    } else {
        c.cam.extra_mm[k - 5 - job->cam.lobes] += by;
    }
    return c;
}

static double step_of(const sim_job *job, int k)
{
    static const double first[7] = {1e-3, 1e-2, 1e-3, 1e-2, 1e-4, 1e-4, 1e-4};
    return k < 7 ? first[k] : k < 6 + job->cam.lobes || k >= SEGMENTS ? 1e-2 : 1e-3;
}

/* Fisher information of the unknowns listed. Effective variance: slope of each reading
 * against a common shift of the angles, which is also minus its slope against the foot.
 */
static void information(const sim_job *job, int m, const int *unknown,
                        double fisher[][MOST])
{
    double crank[SIM_MAX], *up = malloc((size_t)(MOST + 2) * SIM_MAX * sizeof *up);
    double *down = up + SIM_MAX, *grad = up + 2 * SIM_MAX;
    size_t n = sim_angles(job, crank);
    for (int k = 0; k < m; k++) {
        double h = step_of(job, unknown[k]);
        sim_job a = changed(job, unknown[k], h), b = changed(job, unknown[k], -h);
        sim_trace(&a, n, crank, 0.2, up);
        sim_trace(&b, n, crank, 0.2, down);
        for (size_t i = 0; i < n; i++)
            grad[(size_t)k * SIM_MAX + i] = (up[i] - down[i]) / (2 * h);
    }
    double dial2 =
        job->dial_sd_mm * job->dial_sd_mm + job->dial_step_mm * job->dial_step_mm / 12;
    memset(fisher, 0, (size_t)m * sizeof fisher[0]);
    for (size_t i = 0; i < n; i++) {
        double slope = grad[SIM_MAX + i];
        double w = 1 / (dial2 + slope * slope * job->angle_sd_deg * job->angle_sd_deg);
        for (int k = 0; k < m; k++)
            for (int l = 0; l < m; l++)
                fisher[k][l] +=
                    w * grad[(size_t)k * SIM_MAX + i] * grad[(size_t)l * SIM_MAX + i];
    }
    free(up);
}

/* sd of the lift at TDC when the unknowns listed are. */
static double lift_bound(const sim_job *job, int m, const int *unknown)
{
    double lift_grad[MOST] = {0}, fisher[MOST][MOST];
    information(job, m, unknown, fisher);
    for (int k = 0; k < m; k++) {
        if (unknown[k] >=
            SEGMENTS) /* a sweep that does not reach them leaves them open */
            fisher[k][k] += pow(job->cam.lobes / (0.1 * 360), 2);
        double h = step_of(job, unknown[k]);
        sim_job a = changed(job, unknown[k], h), b = changed(job, unknown[k], -h);
        lift_grad[k] = (sim_lift(&a.cam, -a.foot_crank_deg / a.crank_per_pump) -
                        sim_lift(&b.cam, -b.foot_crank_deg / b.crank_per_pump)) /
                       (2 * h);
    }
    return sqrt(quadratic_inverse(m, fisher, lift_grad));
}

double sim_bound(const sim_job *job)
{
    static const int unknown[5] = {0, 1, 2, 3, 4};
    return lift_bound(job, job->two_way ? 5 : 3, unknown);
}

double sim_bound_segments(const sim_job *job)
{
    static const int unknown[8] = {0, 1, 2, SEGMENTS, SEGMENTS + 1, SEGMENTS + 2, 3, 4};
    return lift_bound(job, job->two_way ? 8 : 6, unknown);
}

double sim_lobe_bound(const sim_job *job, double *timing_deg, double *lift_mm)
{
    int unknown[MOST], m = 0, basic = job->two_way ? 5 : 3, lobes = job->cam.lobes;
    double fisher[MOST][MOST], unit[MOST] = {0};
    for (int k = 0; k < 5 + 2 * lobes; k++)
        if (k < basic || k >= 5)
            unknown[m++] = k;
    information(job, m, unknown, fisher);
    timing_deg[0] = lift_mm[0] = 0;
    for (int k = 1; k < 2 * lobes - 1; k++) {
        int at = basic + 1 + k;
        unit[at] = 1;
        double sd = sqrt(quadratic_inverse(m, fisher, unit));
        unit[at] = 0;
        if (k < lobes)
            timing_deg[k] = sd;
        else
            lift_mm[k - lobes + 1] = sd;
    }
    unit[basic] = 1;
    return sqrt(quadratic_inverse(m, fisher, unit));
}
