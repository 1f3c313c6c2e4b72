/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/lobes.h>

#include <math.h>
#include <string.h>

#include "assess/workspace.h"
#include "core/angle.h"
#include "core/finding.h"
#include "core/normal.h"
#include "estimate/known_cam.h"
#include "estimate/look.h"
#include "estimate/turn_fit.h"
#include "record/lobe_count.h"
#include "review/goodness.h"

#define LEAST_READINGS_PER_LOBE 8
#define LEAST_COVER             0.97       /* of the pump turn */
#define DETERMINED              0.25       /* of the prior variance, at most */
#define CIRCLE_95               2.44774683 /* radius holding 95 % of a round normal */
#define WHOLE_TURN              0.1 /* of a turn: the fit keeps no slopes to judge by */
/* Readings in a row that lie so far to one side are no misreads: they stand otherwise
 * than the rest. */
#define MOVED_RUN 5
#define MOVED_MM  0.03
#define MOVED_SDS 6.0 /* of a reading of the dial, where that is more */
/* Residuals count up to so much in finding where: more is a misread. */
#define MOST_MOVED_MM 0.3
/* Crank degrees by which no two lobes of a pump differ, by far: a wheel that slips while
 * the plunger rests moves all later lobes alike. Common practice, no source. */
#define MOST_APART 3.0

/* Nothing is known of any lobe. */
static void forget(dialarc_lobes *r)
{
    const double unknown = DIALARC_UNKNOWN;
    for (int k = 0; k < DIALARC_LOBES_MAX; k++)
        r->lobe[k] = (dialarc_lobe){
            unknown, unknown, unknown, unknown, unknown, unknown, r->lobe[k].readings};
    double *field[] = {&r->spread_crank_deg,
                       &r->spread_u_crank_deg,
                       &r->scatter_crank_deg,
                       &r->scatter_low_crank_deg,
                       &r->scatter_high_crank_deg,
                       &r->run_out_mm,
                       &r->run_out_u_mm,
                       &r->run_out_phase_pump_deg,
                       &r->run_out_phase_u_pump_deg,
                       &r->slack_crank_deg};
    for (size_t k = 0; k < sizeof field / sizeof field[0]; k++)
        *field[k] = unknown;
}

static void fill_unknown(dialarc_lobes *r)
{
    memset(r, 0, sizeof *r);
    forget(r);
    r->noise_ratio = DIALARC_UNKNOWN;
    darc_findings_clear(&r->findings);
}

static void stop(dialarc_lobes *r, dialarc_finding finding)
{
    darc_findings_add(&r->findings, finding, DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}

/* Whether the record can be fitted at all; says why not. */
static bool check_usable(const darc_record *record, double ratio, dialarc_lobes *r)
{
    double low = INFINITY, high = -INFINITY;
    if (record->n < LEAST_READINGS_PER_LOBE * (size_t)r->lobes) {
        stop(r, DIALARC_FINDING_TOO_FEW_READINGS);
        return false;
    }
    for (size_t i = 0; i < record->n; i++) {
        low = fmin(low, record->crank_deg[i]);
        high = fmax(high, record->crank_deg[i]);
    }
    if (!(high - low >= LEAST_COVER * 360.0 * ratio)) {
        stop(r, DIALARC_FINDING_TURN_NOT_COVERED);
        return false;
    }
    r->lobes_seen = darc_lobes_seen(record, ratio);
    if (r->lobes_seen != r->lobes)
        stop(r, DIALARC_FINDING_LOBE_COUNT_MISMATCH);
    return r->lobes_seen == r->lobes;
}

/* Factor for variances: 1 unless the readings scatter more than they should by chance. */
static double check_scatter(const darc_turn_fit *fit, dialarc_lobes *r)
{
    double used = 0.0;
    for (int k = 0; k < r->lobes; k++) {
        used += fit->sound[k];
        r->lobe[k].readings = (size_t)(fit->sound[k] + 0.5);
    }
    double freedom = fmax(used - fit->n_param, 1.0);
    double ratio = fit->score2 / freedom;
    r->noise_ratio = sqrt(fit->score2 / used);
    if (!darc_scatter_is_excessive(ratio, freedom))
        return 1.0;
    darc_findings_add(&r->findings, DIALARC_FINDING_SCATTER_ABOVE_SETUP,
                      DIALARC_SEVERITY_CAUTION, DIALARC_NO_ROW);
    return ratio;
}

static void check_misreads(const darc_record *record, const darc_turn_fit *fit,
                           dialarc_lobes *r)
{
    for (size_t i = 0; i < record->n; i++) {
        if (darc_is_sound(&fit->common->at.pulls[i]))
            continue;
        double off = fabs(record->lift_mm[i] - fit->expected_mm[i]);
        double turns = off / fit->common->noise.turn_mm;
        bool whole = round(turns) > 0.0 && fabs(turns - round(turns)) < WHOLE_TURN;
        darc_findings_add(&r->findings,
                          whole ? DIALARC_FINDING_WHOLE_TURN_MISREAD
                                : DIALARC_FINDING_READING_REJECTED,
                          DIALARC_SEVERITY_NOTE, record->row[i]);
        r->readings_rejected++;
    }
    r->readings_used = record->n - r->readings_rejected;
}

static bool is_far(const darc_record *record, const darc_turn_fit *fit, size_t i)
{
    double limit = fmax(MOVED_MM, MOVED_SDS * darc_reading_sd(&fit->common->noise));
    return fabs(record->lift_mm[i] - fit->expected_mm[i]) > limit;
}

/* The reading before and after which the residuals are most unlike, the next few of each;
 * misreads are held to what a moved dial may be. */
static size_t where_it_jumps(const darc_record *record, const darc_turn_fit *fit)
{
    double best = 0.0;
    size_t at = 0;
    for (size_t i = MOVED_RUN; i + MOVED_RUN <= record->n; i++) {
        double jump = 0.0;
        for (size_t k = i - MOVED_RUN; k < i + MOVED_RUN; k++) {
            double off = record->lift_mm[k] - fit->expected_mm[k];
            off = fmin(fmax(off, -MOST_MOVED_MM), MOST_MOVED_MM);
            jump += k < i ? -off : off;
        }
        if (fabs(jump) > best) {
            best = fabs(jump);
            at = i;
        }
    }
    return at;
}

/* Readings in a row far to one side: the dial or the degree wheel stood otherwise than
 * for the rest, and no lobe can be told from that. */
static bool check_moved(const darc_record *record, const darc_turn_fit *fit,
                        dialarc_lobes *r)
{
    size_t run = 0;
    double side = 0.0;
    bool moved = isgreater(r->spread_crank_deg - r->spread_u_crank_deg, MOST_APART);
    if (moved)
        stop(r, DIALARC_FINDING_ZERO_DRIFT);
    for (size_t i = 0; i < record->n; i++) {
        double off = record->lift_mm[i] - fit->expected_mm[i];
        run = !is_far(record, fit, i) ? 0 : run && off * side > 0.0 ? run + 1 : 1;
        side = off;
        if (run < MOVED_RUN)
            continue;
        darc_findings_add(&r->findings, DIALARC_FINDING_ZERO_DRIFT, DIALARC_SEVERITY_STOP,
                          record->row[where_it_jumps(record, fit)]);
        return true;
    }
    return moved;
}

/* Covariance of the own parameters, a column at a time, by the errors stated. */
static void covariance(const darc_turn_fit *fit, double c[][2 * DIALARC_LOBES_MAX])
{
    int own = fit->n_param - fit->n_common;
    for (int k = 0; k < own; k++) {
        double v[DARC_LOBES_PARAM] = {0.0};
        v[fit->n_common + k] = 1.0;
        darc_turn_fit_backsolve(fit, v);
        for (int l = 0; l < own; l++)
            c[k][l] = v[fit->n_common + l];
    }
}

static void report_run_out(const darc_turn_fit *fit, double c[][2 * DIALARC_LOBES_MAX],
                           dialarc_lobes *r)
{
    double a = fit->own[0], b = fit->own[1], size = hypot(a, b);
    double x = size > 0.0 ? a / size : 1.0, y = size > 0.0 ? b / size : 0.0;
    double along = x * x * c[0][0] + 2.0 * x * y * c[0][1] + y * y * c[1][1];
    double across = y * y * c[0][0] - 2.0 * x * y * c[0][1] + x * x * c[1][1];
    double sd = sqrt(fmax(along, across)), ratio = fit->model.cam->crank_per_pump;
    bool seen = size > CIRCLE_95 * sd;
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
static bool check_determined(const darc_turn_fit *fit, double c[][2 * DIALARC_LOBES_MAX],
                             dialarc_lobes *r)
{
    int own = fit->n_param - fit->n_common, k = 0;
    while (k < own && c[k][k] * fit->own_weight[k] < DETERMINED)
        k++;
    if (k < own)
        stop(r, DIALARC_FINDING_TURN_NOT_COVERED);
    return k == own;
}

static void report(const darc_turn_fit *fit, dialarc_lobes *r)
{
    double c[2 * DIALARC_LOBES_MAX][2 * DIALARC_LOBES_MAX];
    double total = fit->common->param[DARC_LIFT], k95 = DARC_NORMAL_975;
    int own = fit->n_param - fit->n_common;
    covariance(fit, c);
    if (!check_determined(fit, c, r))
        return;
    double inflate = check_scatter(fit, r);
    for (int k = 0; k < own * own; k++)
        c[k / own][k % own] *= inflate;
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

static bool check_converged(const darc_turn_fit *fit, dialarc_lobes *r)
{
    if (!fit->converged)
        stop(r, DIALARC_FINDING_FIT_NOT_CONVERGED);
    return fit->converged;
}

/* Fits all lobes of a problem from their common cam; of one that is not given the shape
 * is looked at: its errors are the same on every lobe and drop out of what is asked for.
 */
static dialarc_status fit_lobes(const darc_problem *problem, darc_memory *m,
                                darc_turn_fit *fit, dialarc_lobes *r)
{
    const darc_record *record = &problem->record;
    darc_estimate of_all_alike;
    r->cam_learned = !problem->cam.given;
    if (r->cam_learned)
        darc_fit_look_from_afar(&m->fit, problem);
    else
        darc_fit_known(&m->fit, &m->trial, problem, &of_all_alike);
    darc_turn_fit_solve(fit, problem, &m->fit, m->sample_mm);
    if (!check_converged(fit, r))
        return DIALARC_NOT_CONVERGED;
    report(fit, r);
    check_misreads(record, fit, r);
    for (int k = 0; k < record->passes; k++)
        if (record->pass[k].direction != record->pass[0].direction)
            r->slack_crank_deg = fmax(m->fit.param[DARC_SLACK], 0.0);
    if (check_moved(record, fit, r))
        forget(r);
    return DIALARC_OK;
}

dialarc_status dialarc_lobes_estimate(dialarc_workspace *workspace,
                                      const dialarc_setup *setup,
                                      const dialarc_sweep *sweep, double *residual_mm,
                                      dialarc_lobes *lobes)
{
    darc_problem problem;
    if (!workspace || !setup || !sweep || !lobes)
        return DIALARC_ERR_NULL;
    darc_memory *memory = &workspace->memory;
    dialarc_status status = darc_memory_open_turn(memory, setup, sweep, &problem);
    if (status != DIALARC_OK)
        return status;
    if (problem.known.lobes < 2)
        return DIALARC_ERR_LOBES;
    dialarc_lobes r;
    fill_unknown(&r);
    r.lobes = problem.known.lobes;
    bool fitted = check_usable(&problem.record, problem.known.crank_per_pump, &r);
    if (fitted) {
        darc_turn_fit fit = {.normal = NULL};
        if (!darc_turn_fit_reserve(&fit))
            return DIALARC_ERR_NO_MEMORY;
        status = fit_lobes(&problem, memory, &fit, &r);
        darc_turn_fit_release(&fit);
    }
    for (size_t i = 0; residual_mm && i < sweep->n; i++)
        residual_mm[problem.record.row[i]] =
            fitted ? problem.known.dial.sense *
                         (problem.record.lift_mm[i] - memory->sample_mm[i])
                   : DIALARC_UNKNOWN;
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
