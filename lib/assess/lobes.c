/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assess/lobes.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "assess/workspace.h"
#include "core/angle.h"
#include "core/assumed.h"
#include "core/finding.h"
#include "core/normal.h"

#define LEAST_READINGS_PER_LOBE 8
#define LEAST_COVER             0.97       /* of the pump turn */
#define DETERMINED              0.25       /* of the prior variance, at most */
#define CIRCLE_95               2.44774683 /* radius holding 95 % of a round normal */
#define INFLATE_SDS             3.0 /* scatter this far above what is expected counts */
#define NEAR_TDC_DEG            15.0
#define MISREAD                 0.5 /* readings less sound than this are set aside */

static void fill_unknown(dialarc_lobes *r)
{
    const double unknown = DIALARC_UNKNOWN;
    memset(r, 0, sizeof *r);
    for (int k = 0; k < DIALARC_LOBES_MAX; k++)
        r->lobe[k] =
            (dialarc_lobe){unknown, unknown, unknown, unknown, unknown, unknown, 0};
    double *field[] = {&r->spread_crank_deg,
                       &r->spread_u_crank_deg,
                       &r->scatter_crank_deg,
                       &r->scatter_low_crank_deg,
                       &r->scatter_high_crank_deg,
                       &r->run_out_mm,
                       &r->run_out_u_mm,
                       &r->run_out_phase_pump_deg,
                       &r->run_out_phase_u_pump_deg,
                       &r->slack_crank_deg,
                       &r->noise_ratio};
    for (size_t k = 0; k < sizeof field / sizeof field[0]; k++)
        *field[k] = unknown;
    darc_findings_clear(&r->findings);
}

static void stop(dialarc_lobes *r, dialarc_finding finding)
{
    darc_findings_add(&r->findings, finding, DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}

/* A wheel of 360 degrees passes 0 more than once on the way: the first time is meant, and
 * not the one that was read closest to 0. */
static void meet_first_tdc(const dialarc_sweep *sweep, darc_record *record)
{
    size_t first = SIZE_MAX, n = record->n;
    double shift = 0.0, low = INFINITY, high = -INFINITY;
    for (size_t i = 0; i < n; i++) {
        double recorded = sweep->crank_deg[record->row[i]];
        double turns = record->crank_deg[i] - recorded;
        low = fmin(low, turns);
        high = fmax(high, turns);
        if (record->row[i] < first && fabs(remainder(recorded, 360.0)) <= NEAR_TDC_DEG) {
            first = record->row[i];
            shift = 360.0 * round(record->crank_deg[i] / 360.0);
        }
    }
    for (size_t i = 0; i < n && high - low > 180.0; i++)
        record->crank_deg[i] -= shift;
}

/* Whether the record can be fitted at all; says why not. */
static int usable(const darc_record *record, double ratio, dialarc_lobes *r)
{
    double low = INFINITY, high = -INFINITY;
    if (record->n < LEAST_READINGS_PER_LOBE * (size_t)r->lobes) {
        stop(r, DIALARC_FINDING_TOO_FEW_READINGS);
        return 0;
    }
    for (size_t i = 0; i < record->n; i++) {
        low = fmin(low, record->crank_deg[i]);
        high = fmax(high, record->crank_deg[i]);
    }
    if (!(high - low >= LEAST_COVER * 360.0 * ratio)) {
        stop(r, DIALARC_FINDING_TURN_NOT_COVERED);
        return 0;
    }
    r->lobes_seen = darc_lobes_seen(record, ratio);
    if (r->lobes_seen != r->lobes)
        stop(r, DIALARC_FINDING_LOBE_COUNT_MISMATCH);
    return r->lobes_seen == r->lobes;
}

/* Shape of a cam that is not known, common to all lobes: one law bent by free terms. Its
 * errors are the same on every lobe and drop out of what is asked for. */
static void learn_shape(darc_scratch *s, const dialarc_setup *setup,
                        const darc_noise *noise)
{
    darc_fit *fit = &s->fit;
    darc_fit_model_init(fit, setup, noise);
    fit->model.learned = 1;
    fit->model.terms = DARC_SHAPE_TERMS;
    darc_model_layout(&fit->model, &s->record);
    darc_fit_prior_basic(fit, &s->record);
    darc_fit_start(fit, &s->record);
    for (int k = 0; k < DARC_SHAPE_TERMS; k++) {
        double sd = 0.05 * fit->param[DARC_LIFT] / pow(k + 1.0, 1.5);
        fit->prior.weight[DARC_TERMS + k] = 1.0 / (sd * sd);
        fit->prior.weight[DARC_TERMS + DARC_SHAPE_TERMS + k] = 1.0 / (sd * sd);
    }
    darc_fit_iterate(fit, &s->record, s->rows, s->pulls);
}

/* Factor for variances: 1 unless the readings scatter more than they should by chance. */
static double inflation(const darc_lobes_fit *fit, dialarc_lobes *r)
{
    double used = 0.0;
    for (int k = 0; k < r->lobes; k++) {
        used += fit->sound[k];
        r->lobe[k].readings = (size_t)(fit->sound[k] + 0.5);
    }
    double freedom = fmax(used - fit->n_param, 1.0);
    double ratio = fit->score2 / freedom;
    r->noise_ratio = sqrt(fit->score2 / used);
    if (!(ratio > 1.0 + INFLATE_SDS * sqrt(2.0 / freedom)))
        return 1.0;
    darc_findings_add(&r->findings, DIALARC_FINDING_SCATTER_ABOVE_SETUP,
                      DIALARC_SEVERITY_CAUTION, DIALARC_NO_ROW);
    return ratio;
}

static void count_misreads(const darc_scratch *s, dialarc_lobes *r)
{
    for (size_t i = 0; i < s->record.n; i++) {
        if (s->pulls[i].sound >= MISREAD)
            continue;
        double off = fabs(s->record.lift_mm[i] - s->mean0[i]) / s->fit.noise.turn_mm;
        int turn = off > 0.9 && fabs(off - round(off)) < 0.1;
        darc_findings_add(&r->findings,
                          turn ? DIALARC_FINDING_WHOLE_TURN_MISREAD
                               : DIALARC_FINDING_READING_REJECTED,
                          DIALARC_SEVERITY_NOTE, s->record.row[i]);
        r->readings_rejected++;
    }
    r->readings_used = s->record.n - r->readings_rejected;
}

/* Covariance of the own parameters, a column at a time. */
static void covariance(const darc_lobes_fit *fit, double inflate,
                       double c[][2 * DIALARC_LOBES_MAX])
{
    int own = fit->n_param - fit->n_common;
    for (int k = 0; k < own; k++) {
        double v[DARC_LOBES_PARAM] = {0.0};
        v[fit->n_common + k] = 1.0;
        darc_lobes_backsolve(fit, v);
        for (int l = 0; l < own; l++)
            c[k][l] = inflate * v[fit->n_common + l];
    }
}

static void report_run_out(const darc_lobes_fit *fit, double c[][2 * DIALARC_LOBES_MAX],
                           dialarc_lobes *r)
{
    double a = fit->own[0], b = fit->own[1], size = hypot(a, b);
    double x = size > 0.0 ? a / size : 1.0, y = size > 0.0 ? b / size : 0.0;
    double along = x * x * c[0][0] + 2.0 * x * y * c[0][1] + y * y * c[1][1];
    double across = y * y * c[0][0] - 2.0 * x * y * c[0][1] + x * x * c[1][1];
    double sd = sqrt(fmax(along, across)), ratio = fit->model.cam->crank_per_pump;
    int seen = size > CIRCLE_95 * sd;
    r->run_out_mm = size;
    r->run_out_u_mm = seen ? DARC_NORMAL_975 * sqrt(along) : CIRCLE_95 * sd;
    if (seen) {
        double phase = DARC_DEG_PER_RAD * atan2(b, a),
               mark = fit->common->noise.tdc_sd_deg / ratio;
        double reach =
            DARC_NORMAL_975 * hypot(sqrt(across) / size, mark / DARC_DEG_PER_RAD);
        r->run_out_phase_pump_deg = phase - 360.0 * floor(phase / 360.0);
        /* Seen from the middle, a circle of that radius: more than the arc when it is
         * near. */
        r->run_out_phase_u_pump_deg = DARC_DEG_PER_RAD * asin(fmin(reach, 1.0));
    }
    for (int k = 0; k < r->lobes; k++) {
        double foot = fit->model.common[DARC_FOOT] - r->lobe[k].advance_crank_deg;
        double at = (360.0 * k / r->lobes + foot / ratio) / DARC_DEG_PER_RAD;
        r->lobe[k].run_out_mm = a * cos(at) + b * sin(at);
    }
}

/* Variance of the difference between two lobes' timing. */
static double gap_variance(double c[][2 * DIALARC_LOBES_MAX], int i, int k)
{
    int a = darc_lobes_timing(i), b = darc_lobes_timing(k);
    double var = (i ? c[a][a] : 0.0) + (k ? c[b][b] : 0.0);
    return i && k ? var - 2.0 * c[a][b] : var;
}

/* Squared scatter is a quadratic form in the timings; the noise in it is taken out. */
static void report_scatter(double c[][2 * DIALARC_LOBES_MAX], dialarc_lobes *r)
{
    int n = r->lobes, first = 0, last = 0;
    double mean = 0.0, square = 0.0, noise = 0.0, var = 0.0;
    double d[DIALARC_LOBES_MAX], g[DIALARC_LOBES_MAX][DIALARC_LOBES_MAX];
    for (int k = 0; k < n; k++) {
        double t = r->lobe[k].advance_crank_deg;
        mean += t / n;
        first = t > r->lobe[first].advance_crank_deg ? k : first;
        last = t < r->lobe[last].advance_crank_deg ? k : last;
    }
    r->spread_crank_deg =
        r->lobe[first].advance_crank_deg - r->lobe[last].advance_crank_deg;
    r->spread_u_crank_deg = DARC_NORMAL_975 * sqrt(gap_variance(c, first, last));
    for (int i = 0; i < n; i++) {
        d[i] = r->lobe[i].advance_crank_deg - mean;
        square += d[i] * d[i] / (n - 1);
    }
    /* Covariance of the deviations from the mean, by those of the differences. */
    double row[DIALARC_LOBES_MAX] = {0.0}, all = 0.0;
    for (int i = 0; i < n; i++)
        for (int k = 0; k < n; k++) {
            double gap = gap_variance(c, i, k);
            row[i] += gap / n;
            all += gap / ((double)n * n);
            g[i][k] = gap;
        }
    for (int i = 0; i < n; i++)
        for (int k = 0; k < n; k++)
            g[i][k] = 0.5 * (row[i] + row[k] - all - g[i][k]);
    for (int i = 0; i < n; i++)
        noise += g[i][i] / (n - 1);
    for (int i = 0; i < n; i++)
        for (int k = 0; k < n; k++)
            var += (4.0 * d[i] * d[k] * g[i][k] + 2.0 * g[i][k] * g[i][k]) /
                   ((n - 1.0) * (n - 1.0));
    double reach = DARC_NORMAL_975 * sqrt(var);
    r->scatter_crank_deg = sqrt(fmax(square - noise, 0.0));
    r->scatter_low_crank_deg = sqrt(fmax(square - noise - reach, 0.0));
    r->scatter_high_crank_deg = sqrt(fmax(square - noise, 0.0) + reach);
}

/* Whether the readings, and not the priors, say where each lobe is and how high. */
static int determined(const darc_lobes_fit *fit, double c[][2 * DIALARC_LOBES_MAX])
{
    for (int k = 0; k < fit->n_param - fit->n_common; k++)
        if (!(c[k][k] * fit->own_weight[k] < DETERMINED))
            return 0;
    return 1;
}

static void report(const darc_lobes_fit *fit, dialarc_lobes *r)
{
    double c[2 * DIALARC_LOBES_MAX][2 * DIALARC_LOBES_MAX];
    double total = fit->common->param[DARC_LIFT], k95 = DARC_NORMAL_975;
    covariance(fit, 1.0, c);
    if (!determined(fit, c)) {
        stop(r, DIALARC_FINDING_TURN_NOT_COVERED);
        return;
    }
    covariance(fit, inflation(fit, r), c);
    for (int k = 0; k < r->lobes; k++) {
        int t = k ? darc_lobes_timing(k) : -1, d = k ? darc_lobes_lift(r->lobes, k) : -1;
        dialarc_lobe *lobe = &r->lobe[k];
        lobe->advance_crank_deg = k ? -fit->own[t] : 0.0;
        lobe->advance_u_crank_deg = k ? k95 * sqrt(c[t][t]) : 0.0;
        lobe->lift_error_mm = k ? fit->own[d] : 0.0;
        lobe->lift_error_u_mm = k ? k95 * sqrt(c[d][d]) : 0.0;
        lobe->lift_mm = total + lobe->lift_error_mm;
    }
    report_run_out(fit, c, r);
    report_scatter(c, r);
}

/* Fits a record that is usable. */
static dialarc_status fit_lobes(darc_scratch *s, const dialarc_setup *setup,
                                const darc_noise *noise, dialarc_lobes *r)
{
    darc_lobes_fit *fit = malloc(sizeof *fit);
    if (!fit)
        return DIALARC_ERR_NO_MEMORY;
    darc_answer answer;
    r->cam_learned = !dialarc_setup_cam_known(setup);
    s->table = NULL; /* of an earlier estimate */
    if (r->cam_learned)
        learn_shape(s, setup, noise);
    else
        darc_fit_known(s, setup, noise, &answer);
    darc_lobes_solve(s, r->lobes, fit);
    dialarc_status status = fit->converged ? DIALARC_OK : DIALARC_NOT_CONVERGED;
    if (status == DIALARC_OK) {
        report(fit, r);
        count_misreads(s, r);
        for (int k = 0; k < s->record.passes; k++)
            if (s->record.pass[k].direction != s->record.pass[0].direction)
                r->slack_crank_deg = fmax(s->fit.param[DARC_SLACK], 0.0);
    } else {
        stop(r, DIALARC_FINDING_FIT_NOT_CONVERGED);
    }
    free(fit);
    return status;
}

dialarc_status dialarc_lobes_estimate(dialarc_workspace *workspace,
                                      const dialarc_setup *setup,
                                      const dialarc_sweep *sweep, double *residual_mm,
                                      dialarc_lobes *lobes)
{
    if (!workspace || !setup || !sweep || !lobes)
        return DIALARC_ERR_NULL;
    dialarc_status status = dialarc_setup_check(setup);
    if (status != DIALARC_OK)
        return status;
    if (setup->lobes < 2)
        return DIALARC_ERR_LOBES;
    if (sweep->n > DIALARC_SWEEP_MAX)
        return DIALARC_ERR_SIZE;
    darc_scratch *s = &workspace->scratch;
    status = darc_scratch_reserve(s, sweep->n);
    if (status != DIALARC_OK)
        return status;
    darc_noise noise = darc_noise_of(setup, sweep);
    status = darc_record_fill(sweep, setup, noise.angle_sd_deg, &s->record);
    if (status != DIALARC_OK)
        return status;

    dialarc_lobes r;
    fill_unknown(&r);
    r.lobes = setup->lobes;
    meet_first_tdc(sweep, &s->record);
    double ratio = darc_known_or(setup->crank_per_pump, DARC_ASSUMED_CRANK_PER_PUMP);
    if (usable(&s->record, ratio, &r)) {
        status = fit_lobes(s, setup, &noise, &r);
        if (status < DIALARC_OK)
            return status;
        for (size_t i = 0; residual_mm && i < s->record.n; i++)
            residual_mm[s->record.row[i]] = s->record.lift_mm[i] - s->mean0[i];
    }
    *lobes = r;
    return status;
}

dialarc_status dialarc_lobes_assign(int lobes, const int *firing_order,
                                    int timed_cylinder, dialarc_rotation rotation,
                                    int *cylinder, int *outlet)
{
    if (!firing_order || !cylinder)
        return DIALARC_ERR_NULL;
    if (lobes < 1 || lobes > DIALARC_LOBES_MAX)
        return DIALARC_ERR_LOBES;
    if ((int)rotation < -1 || (int)rotation > 1)
        return DIALARC_ERR_DIRECTION;
    unsigned met = 0;
    int first = -1;
    for (int k = 0; k < lobes; k++) {
        int c = firing_order[k];
        if (c < 1 || c > lobes || (met >> c & 1u))
            return DIALARC_ERR_FIRING_ORDER;
        met |= 1u << c;
        if (c == timed_cylinder)
            first = k;
    }
    if (first < 0)
        return DIALARC_ERR_FIRING_ORDER;
    for (int k = 0; k < lobes; k++) {
        cylinder[k] = firing_order[(first + k) % lobes];
        if (outlet)
            outlet[k] = rotation == DIALARC_ROTATION_UNKNOWN ? -1
                        : rotation == DIALARC_ROTATION_CW    ? k
                                                             : (lobes - k) % lobes;
    }
    return DIALARC_OK;
}
