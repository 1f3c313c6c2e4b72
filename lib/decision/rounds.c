/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/rounds.h>

#include <math.h>
#include <stdbool.h>

#include <dialarc/cam.h>
#include <gsl/gsl_cdf.h>

#include "core/finding.h"
#include "core/normal.h"
#include "decision/advice.h"
#include "decision/decision.h"
#include "decision/tightening.h"
#include "record/instruments.h"
#include "review/lengths.h"

#define LARGEST_SHIFT_MM 0.1 /* more is a slip, a misreading or another setting */
/* Lift rate at TDC where no cam is known: half a crank degree is worth two graduations.
 * Common practice, no source. */
#define RATE_MM_PER_CRANK_DEG 0.04
/* Travel of the dial over a lobe. Common practice, no source. */
#define TRAVEL_MM   2.4
#define FALSE_ALARM 0.002 /* chance of a finding when nothing is wrong */

/* One setting: the rows that repeat it, those that cannot be used left out. */
typedef struct setting {
    size_t first, used;
    int round;
    bool tight;
    double sum, mean; /* of the readings less the minimum, mm */
} setting;

typedef struct job {
    darc_known known;
    size_t n;
    const dialarc_round *rounds;
    double variance; /* of one pair of readings, mm^2 */
    double limit;    /* what the reading error explains of one reading, mm */
    dialarc_findings findings;
    darc_shift shift;
    setting latest;
} job;

static double reading(const job *j, size_t i)
{
    return j->known.sense * (j->rounds[i].tdc_mm - j->rounds[i].minimum_mm);
}

/* Why a row cannot be used, or DIALARC_FINDING_COUNT when it can. */
static dialarc_finding objection(const job *j, size_t i)
{
    double lift = reading(j, i);
    if (lift < -sqrt(2.0) * j->limit)
        return DIALARC_FINDING_BELOW_ZERO;
    if (j->known.has_lift && lift > j->known.cam.lift_mm + sqrt(2.0) * j->limit)
        return DIALARC_FINDING_WHOLE_TURN_MISREAD;
    return DIALARC_FINDING_COUNT;
}

/* The setting that begins at row i; *next becomes the first row after it. */
static setting setting_at(const job *j, size_t i, size_t *next)
{
    setting s = {
        .first = i, .round = j->rounds[i].round, .tight = j->rounds[i].tight != 0};
    for (; i < j->n && j->rounds[i].round == s.round &&
           (j->rounds[i].tight != 0) == s.tight;
         i++)
        if (objection(j, i) == DIALARC_FINDING_COUNT) {
            s.sum += reading(j, i);
            s.used++;
        }
    s.mean = s.used ? s.sum / (double)s.used : DIALARC_UNKNOWN;
    *next = i;
    return s;
}

static void check_misread_rows(job *j)
{
    for (size_t i = 0; i < j->n; i++) {
        dialarc_finding why = objection(j, i);
        if (why != DIALARC_FINDING_COUNT)
            darc_findings_add(&j->findings, why, DIALARC_SEVERITY_CAUTION, i);
        if (j->known.sense * j->rounds[i].minimum_mm < -j->limit)
            darc_findings_add(&j->findings, DIALARC_FINDING_BELOW_ZERO,
                              DIALARC_SEVERITY_CAUTION, i);
    }
}

/* The first minimum that lies further from one before it than reading errors explain,
 * allowing for the number of pairs that could have done so by chance. */
static void check_zero_drift(job *j)
{
    double z, low = HUGE_VAL, high = -HUGE_VAL, n = (double)j->n;
    if (j->n < 2 ||
        dialarc_conformity_z(1.0 - FALSE_ALARM / (n * (n - 1.0)), &z) != DIALARC_OK)
        return;
    double most = z * sqrt(j->variance);
    for (size_t i = 0; i < j->n; i++) {
        double minimum = j->rounds[i].minimum_mm;
        if (minimum - low > most || high - minimum > most) {
            darc_findings_add(&j->findings, DIALARC_FINDING_ZERO_DRIFT,
                              DIALARC_SEVERITY_CAUTION, i);
            return;
        }
        low = fmin(low, minimum);
        high = fmax(high, minimum);
    }
}

/* Chi-square test of the scatter within settings; a scatter too large is believed. */
static void check_repeatability(job *j)
{
    double squares = 0.0, dof = 0.0, worst = -1.0;
    size_t row = 0;
    for (size_t i = 0, next; i < j->n; i = next) {
        setting s = setting_at(j, i, &next);
        for (size_t k = i; k < next && s.used > 1; k++) {
            double away = reading(j, k) - s.mean;
            if (objection(j, k) != DIALARC_FINDING_COUNT)
                continue;
            squares += away * away;
            if (fabs(away) > worst) {
                worst = fabs(away);
                row = k;
            }
        }
        dof += s.used > 1 ? (double)(s.used - 1) : 0.0;
    }
    if (!(dof > 0.0))
        return;
    double ratio = squares / j->variance;
    /* Far out the answer is plain, and GSL need not be asked. */
    bool poor =
        ratio > 100.0 + 10.0 * dof || gsl_cdf_chisq_Q(ratio, dof) < FALSE_ALARM / 2;
    if (!poor)
        return;
    darc_findings_add(&j->findings, DIALARC_FINDING_REPEATABILITY,
                      DIALARC_SEVERITY_CAUTION, row);
    j->variance = squares / dof;
}

/* Learns from a loose and a tight reading of one setting, or says why not. */
static void check_pair(job *j, const setting *loose, const setting *tight)
{
    double turn = j->known.noise.turn_mm;
    double moved = tight->mean - loose->mean, turns = round(fabs(moved) / turn);
    bool last = tight->first == j->latest.first;
    if (fabs(moved) <= LARGEST_SHIFT_MM)
        darc_shift_learn(&j->shift, moved,
                         j->variance *
                             (1.0 / (double)loose->used + 1.0 / (double)tight->used));
    else if (turns > 0.0 && fabs(fabs(moved) - turns * turn) <= LARGEST_SHIFT_MM)
        darc_findings_add(&j->findings, DIALARC_FINDING_WHOLE_TURN_MISREAD,
                          last ? DIALARC_SEVERITY_STOP : DIALARC_SEVERITY_CAUTION,
                          tight->first);
    else if (loose->round == tight->round)
        darc_findings_add(&j->findings, DIALARC_FINDING_READING_REJECTED,
                          DIALARC_SEVERITY_CAUTION, tight->first);
}

static void learn(job *j)
{
    setting before = {.used = 0};
    size_t next;
    for (size_t i = 0; i < j->n; i = next)
        j->latest = setting_at(j, i, &next);
    darc_shift_begin(&j->shift);
    for (size_t i = 0; i < j->n; i = next) {
        setting s = setting_at(j, i, &next);
        if (s.tight && before.used && !before.tight && s.used)
            check_pair(j, &before, &s);
        before = s;
    }
}

/* Whether the setting that the verdict is about has a reading that can be used. */
static void check_latest(job *j)
{
    if (j->n == 0)
        darc_findings_add(&j->findings, DIALARC_FINDING_TOO_FEW_READINGS,
                          DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
    else if (j->latest.used == 0)
        darc_findings_add(&j->findings, objection(j, j->n - 1), DIALARC_SEVERITY_STOP,
                          j->n - 1);
}

/* Lengths that are no millimetres stop the job; a lift that may be one in another unit is
 * told. */
static void check_lengths(job *j)
{
    double lift = j->latest.mean;
    if (!darc_window_is_possible(&j->known) ||
        (j->latest.used && !darc_lift_is_possible(lift)))
        darc_findings_add(&j->findings, DIALARC_FINDING_UNIT_MISTAKEN,
                          DIALARC_SEVERITY_STOP, j->latest.first);
    else if (j->latest.used && darc_lift_may_be_a_slip(&j->known, lift))
        darc_findings_add(&j->findings, DIALARC_FINDING_UNIT_MISTAKEN,
                          DIALARC_SEVERITY_CAUTION, j->latest.first);
}

/* Pump angle at which the stated cam has a lift; NaN when it has not or none is stated.
 */
static double pump_angle(const darc_known *known, double lift_mm)
{
    double pump_deg;
    if (known->has_shape && known->has_lift &&
        dialarc_cam_angle_at_lift(&known->cam, lift_mm, DIALARC_FLANK_RISING,
                                  &pump_deg) == DIALARC_OK)
        return pump_deg;
    return DIALARC_UNKNOWN;
}

/* Rate of the lift where it is so much, mm per crank degree. */
static double rate_at(const darc_known *known, double lift_mm)
{
    double pump_deg = pump_angle(known, lift_mm), rate;
    if (isnan(pump_deg) || dialarc_cam_rate(&known->cam, pump_deg, &rate) != DIALARC_OK)
        return RATE_MM_PER_CRANK_DEG;
    return rate / known->crank_per_pump;
}

/* True lift minus the reading, for the mean of so many readings at this lift. */
static darc_belief reading_error(const job *j, size_t readings, double lift_mm)
{
    double tdc = j->known.noise.tdc_sd_deg * rate_at(&j->known, lift_mm);
    double width = j->known.noise.hysteresis_max_mm;
    double dial = darc_dial_error_sd(&j->known.noise, TRAVEL_MM, lift_mm);
    double variance = j->variance / (double)readings + tdc * tdc + dial * dial;
    return (darc_belief){0.5 * width, sqrt(variance), width};
}

/* What TDC must be known to, and what to do next with a lift that will be `ends`. */
static void advise(const job *j, double ends, dialarc_plan *plan)
{
    const darc_known *known = &j->known;
    double readings = sqrt(j->variance / (double)j->latest.used);
    double width = known->noise.hysteresis_max_mm;
    double middle = 0.5 * (known->low_mm + known->high_mm);
    double dial = darc_dial_error_sd(&known->noise, TRAVEL_MM, j->latest.mean);
    const darc_doubt doubt = {.away_mm = ends - middle,
                              .sd_mm = plan->lift_u_mm / DARC_NORMAL_975,
                              .readings_mm = hypot(readings, width / sqrt(12.0)),
                              .tdc_mm = known->noise.tdc_sd_deg *
                                        rate_at(known, j->latest.mean),
                              .dial_mm = dial,
                              .loose = !plan->tight};
    darc_decision_tdc(known, hypot(readings, dial), width, rate_at(known, middle),
                      &plan->decision);
    darc_advise(known, &doubt, &plan->decision);
    darc_check_window_width(known, dial, width, &plan->findings);
}

static void decide(const job *j, const darc_forecast *forecast, dialarc_plan *plan)
{
    const darc_known *known = &j->known;
    double low = known->low_mm, high = known->high_mm, middle = 0.5 * (low + high);
    dialarc_decision *d = &plan->decision;
    darc_belief lift = reading_error(j, j->latest.used, j->latest.mean);
    lift.mean_mm += j->latest.mean;
    plan->lift_mm = lift.mean_mm;
    plan->lift_u_mm = darc_belief_expanded(&lift);
    if (!known->has_window)
        return;
    dialarc_conformity where = plan->tight
                                   ? darc_belief_split(&lift, low, high)
                                   : darc_forecast_split(forecast, &lift, low, high);
    darc_decision_weigh(&where, d);
    if (!plan->tight && d->verdict == DIALARC_VERDICT_IN)
        d->verdict = DIALARC_VERDICT_UNDECIDED;
    double ends = lift.mean_mm + (plan->tight ? 0.0 : forecast->shift_mm);
    darc_decision_turn(known, pump_angle(known, ends), pump_angle(known, middle), d);
    darc_decision_turn_u(known, plan->lift_u_mm, rate_at(known, ends), d);
    const darc_belief error = reading_error(j, 1, middle);
    darc_forecast_aim(forecast, &error, low, high, &d->aim_mm, &d->aim_probability_in);
    advise(j, ends, plan);
}

static dialarc_status check(const dialarc_setup *setup, size_t n,
                            const dialarc_round *rounds)
{
    dialarc_status status = dialarc_setup_check(setup);
    for (size_t i = 0; i < n && status == DIALARC_OK; i++) {
        if (!isfinite(rounds[i].minimum_mm) || !isfinite(rounds[i].tdc_mm))
            return DIALARC_ERR_NOT_FINITE;
        if (rounds[i].round < (i ? rounds[i - 1].round : 1))
            return DIALARC_ERR_ORDER;
    }
    return status;
}

dialarc_status dialarc_plan_rounds(const dialarc_setup *setup, size_t n,
                                   const dialarc_round *rounds, dialarc_plan *plan)
{
    darc_forecast forecast;
    if (!setup || !plan || (n && !rounds))
        return DIALARC_ERR_NULL;
    dialarc_status status = check(setup, n, rounds);
    if (status != DIALARC_OK)
        return status;
    job j = {.known = darc_known_of(setup), .n = n, .rounds = rounds};
    j.variance = darc_decision_reading_variance(&j.known.noise);
    j.limit = 3.3 * sqrt(0.5 * j.variance);
    darc_findings_clear(&j.findings);
    check_misread_rows(&j);
    check_zero_drift(&j);
    check_repeatability(&j);
    learn(&j);
    check_latest(&j);
    check_lengths(&j);

    darc_shift_forecast(&j.shift, &forecast);
    dialarc_plan p = {.lift_mm = DIALARC_UNKNOWN,
                      .lift_u_mm = DIALARC_UNKNOWN,
                      .tight = j.latest.tight,
                      .shift_mm = forecast.shift_mm,
                      .shift_sd_mm = forecast.shift_sd_mm,
                      .shifts = j.shift.pairs,
                      .findings = j.findings};
    darc_decision_clear(&p.decision, DIALARC_VERDICT_NONE);
    if (dialarc_findings_worst(&j.findings) == DIALARC_SEVERITY_STOP)
        darc_decision_clear(&p.decision, DIALARC_VERDICT_UNUSABLE);
    else
        decide(&j, &forecast, &p);
    *plan = p;
    return DIALARC_OK;
}
