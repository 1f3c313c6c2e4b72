/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/rounds.h>

#include <math.h>
#include <stdbool.h>

#include <dialarc/cam.h>
#include <dialarc/joint.h>
#include <gsl/gsl_cdf.h>

#include "core/finding.h"
#include "core/finite.h"
#include "core/normal.h"
#include "decision/advice.h"
#include "decision/decision.h"
#include "decision/looks.h"
#include "decision/repeats.h"
#include "decision/tightening.h"
#include "record/instruments.h"
#include "review/lengths.h"

#define LARGEST_SHIFT_MM 0.1 /* more is a slip, a misreading or another setting */
/* Lift rate at TDC where no cam is known: half a crank degree is worth two graduations.
 * Common practice, no source. */
#define RATE_MM_PER_CRANK_DEG 0.04
/* Travel of the dial over a lobe. Common practice, no source. */
#define TRAVEL_MM 2.4
/* More at one setting have no risk left to spend. */
#define MOST_LOOKS DIALARC_LOOKS_MAX

/* One setting: the rows that repeat it, those that cannot be used left out. */
typedef struct setting {
    size_t first, rows;
    int round;
    bool tight;
    darc_repeats is; /* TDC less the minimum, mm */
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
    const darc_dial_use *dial = &j->known.dial;
    return darc_travel(dial, j->rounds[i].tdc_mm) -
           darc_travel(dial, j->rounds[i].minimum_mm);
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

static double usable_reading(const void *context, size_t i)
{
    const job *j = context;
    return objection(j, i) == DIALARC_FINDING_COUNT ? reading(j, i) : DIALARC_UNKNOWN;
}

/* What rows that repeat one setting say of it. */
static darc_repeats repeats_of(const job *j, size_t first, size_t rows)
{
    const darc_readings readings = {usable_reading, j, first, rows};
    return darc_repeats_of(&readings, j->variance);
}

/* The setting that begins at row i; *next becomes the first row after it. */
static setting setting_at(const job *j, size_t i, size_t *next)
{
    setting s = {
        .first = i, .round = j->rounds[i].round, .tight = j->rounds[i].tight != 0};
    while (i < j->n && j->rounds[i].round == s.round &&
           (j->rounds[i].tight != 0) == s.tight)
        i++;
    s.rows = i - s.first;
    s.is = repeats_of(j, s.first, s.rows);
    *next = i;
    return s;
}

static void check_misread_rows(job *j)
{
    for (size_t i = 0; i < j->n; i++) {
        dialarc_finding why = objection(j, i);
        if (why != DIALARC_FINDING_COUNT)
            darc_findings_add(&j->findings, why, DIALARC_SEVERITY_CAUTION, i);
        /* A dial that falls may stand anywhere at the minimum. */
        if (j->known.dial.sense > 0.0 && j->rounds[i].minimum_mm < -j->limit)
            darc_findings_add(&j->findings, DIALARC_FINDING_BELOW_ZERO,
                              DIALARC_SEVERITY_CAUTION, i);
    }
}

/* The first minimum that lies further from one before it than reading errors explain,
 * allowing for the number of pairs that could have done so by chance. */
static void check_zero_drift(job *j)
{
    double z, low = HUGE_VAL, high = -HUGE_VAL, n = (double)j->n;
    double alarm = DARC_REPEATS_FALSE_ALARM / (n * (n - 1.0));
    if (j->n < 2 || dialarc_conformity_z(1.0 - alarm, &z) != DIALARC_OK)
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

/* Reports what a setting has of misreads and scatter. */
static void check_setting(job *j, const setting *s)
{
    double turn = j->known.noise.turn_mm;
    if (s->is.misread) {
        double away = fabs(reading(j, s->is.misread_at) - s->is.mean_mm);
        double turns = round(away / turn);
        bool whole = turns > 0.0 && fabs(away - turns * turn) <= LARGEST_SHIFT_MM;
        darc_findings_add(&j->findings,
                          whole ? DIALARC_FINDING_WHOLE_TURN_MISREAD
                                : DIALARC_FINDING_READING_REJECTED,
                          DIALARC_SEVERITY_CAUTION, s->is.misread_at);
    }
    if (s->is.scattered)
        darc_findings_add(&j->findings, DIALARC_FINDING_REPEATABILITY,
                          DIALARC_SEVERITY_CAUTION, s->is.worst);
}

/* Scatter within settings: a setting that scatters by itself stands for itself; what all
 * the others have in common is believed of every reading. */
static void check_repeatability(job *j)
{
    double squares = 0.0, dof = 0.0, most = -1.0;
    size_t worst = 0;
    for (size_t i = 0, next; i < j->n; i = next) {
        setting s = setting_at(j, i, &next);
        check_setting(j, &s);
        if (s.is.used < 2 || s.is.scattered)
            continue;
        squares += s.is.squares;
        dof += (double)(s.is.used - 1);
        if (s.is.squares > most) {
            most = s.is.squares;
            worst = s.is.worst;
        }
    }
    if (!darc_scatters(squares, dof, j->variance))
        return;
    darc_findings_add(&j->findings, DIALARC_FINDING_REPEATABILITY,
                      DIALARC_SEVERITY_CAUTION, worst);
    j->variance = squares / dof;
}

/* Learns from a loose and a tight reading of one setting, or says why not. */
static void check_pair(job *j, const setting *loose, const setting *tight)
{
    double turn = j->known.noise.turn_mm;
    double moved = tight->is.mean_mm - loose->is.mean_mm,
           turns = round(fabs(moved) / turn);
    bool last = tight->first == j->latest.first;
    if (fabs(moved) <= LARGEST_SHIFT_MM)
        darc_shift_learn(&j->shift, moved, loose->is.variance + tight->is.variance);
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
    setting before = {.rows = 0};
    size_t next;
    for (size_t i = 0; i < j->n; i = next)
        j->latest = setting_at(j, i, &next);
    darc_shift_begin(&j->shift);
    for (size_t i = 0; i < j->n; i = next) {
        setting s = setting_at(j, i, &next);
        if (s.tight && before.is.used && !before.tight && s.is.used)
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
    else if (j->latest.is.used == 0)
        darc_findings_add(&j->findings, objection(j, j->n - 1), DIALARC_SEVERITY_STOP,
                          j->n - 1);
}

/* Lengths that are no millimetres stop the job; a lift that may be one in another unit is
 * told. */
static void check_lengths(job *j)
{
    double lift = j->latest.is.mean_mm;
    if (!darc_window_is_possible(&j->known) ||
        (j->latest.is.used && !darc_lift_is_possible(lift)))
        darc_findings_add(&j->findings, DIALARC_FINDING_UNIT_MISTAKEN,
                          DIALARC_SEVERITY_STOP, j->latest.first);
    else if (j->latest.is.used && darc_lift_may_be_a_slip(&j->known, lift))
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

/* True lift minus the reading, for a reading of this variance at this lift. */
static darc_belief reading_error(const job *j, double reading_variance, double lift_mm)
{
    double tdc = j->known.noise.tdc_sd_deg * rate_at(&j->known, lift_mm);
    double width = j->known.noise.hysteresis_max_mm;
    double dial = darc_dial_error_sd(&j->known.noise, TRAVEL_MM, lift_mm);
    double variance = reading_variance + tdc * tdc + dial * dial;
    return (darc_belief){0.5 * width, sqrt(variance), width};
}

/* What TDC must be known to for a verdict so sure, and what to do next with a lift that
 * will be `ends`. */
static void advise(const job *j, double ends, double sure, dialarc_plan *plan)
{
    const darc_known *known = &j->known;
    double readings = sqrt(j->latest.is.variance);
    double width = known->noise.hysteresis_max_mm;
    double middle = 0.5 * (known->low_mm + known->high_mm);
    double dial = darc_dial_error_sd(&known->noise, TRAVEL_MM, j->latest.is.mean_mm);
    const darc_doubt doubt = {.away_mm = ends - middle,
                              .sd_mm = plan->lift_u_mm / DARC_NORMAL_975,
                              .readings_mm = hypot(readings, width / sqrt(12.0)),
                              .tdc_mm = known->noise.tdc_sd_deg *
                                        rate_at(known, j->latest.is.mean_mm),
                              .dial_mm = dial,
                              .loose = !plan->tight};
    const darc_best_case best = {hypot(readings, dial), width, rate_at(known, middle)};
    darc_decision_tdc(known, &best, sure, &plan->decision);
    darc_advise(known, &doubt, &plan->decision);
    darc_check_window_width(known, dial, width, &plan->findings);
}

static darc_belief lift_of(const job *j, const darc_repeats *is)
{
    darc_belief lift = reading_error(j, is->variance, is->mean_mm);
    lift.mean_mm += is->mean_mm;
    return lift;
}

/* Probabilities and verdict of the latest setting. Each reading of it is a look, and the
 * risk is spent look by look: who reads again until he is told what he hopes for has no
 * more of it. Returns how sure the latest must be. */
static double judge_looks(const job *j, const darc_forecast *forecast,
                          dialarc_decision *d)
{
    const setting *s = &j->latest;
    darc_looks looks = {.n = 0};
    dialarc_conformity where = {0.0, 0.0, 0.0};
    double shift = s->tight ? 0.0 : forecast->shift_sd_mm, before = 1.0;
    for (size_t rows = 1; rows <= s->rows; rows++) {
        if (rows == MOST_LOOKS)
            rows = s->rows;
        darc_repeats is = repeats_of(j, s->first, rows);
        bool usable = objection(j, s->first + rows - 1) == DIALARC_FINDING_COUNT;
        if (is.used == 0 || !(usable || rows > MOST_LOOKS)) /* nothing new was seen */
            continue;
        darc_belief lift = lift_of(j, &is);
        where = s->tight ? darc_belief_split(&lift, j->known.low_mm, j->known.high_mm)
                         : darc_forecast_split(forecast, &lift, j->known.low_mm,
                                               j->known.high_mm);
        double variance = lift.sd_mm * lift.sd_mm + lift.width_mm * lift.width_mm / 12.0 +
                          shift * shift;
        darc_looks_count(&where, variance / before, &looks);
        before = variance;
    }
    darc_decision_weigh(&where, d);
    d->verdict = darc_looks_verdict(&where, &looks);
    return looks.sure;
}

static void decide(const job *j, const darc_forecast *forecast, dialarc_plan *plan)
{
    const darc_known *known = &j->known;
    double low = known->low_mm, high = known->high_mm, middle = 0.5 * (low + high);
    dialarc_decision *d = &plan->decision;
    darc_belief lift = lift_of(j, &j->latest.is);
    plan->lift_mm = lift.mean_mm;
    plan->lift_u_mm = darc_belief_expanded(&lift);
    if (!known->has_window)
        return;
    double sure = judge_looks(j, forecast, d);
    if (!plan->tight && d->verdict == DIALARC_VERDICT_IN)
        d->verdict = DIALARC_VERDICT_UNDECIDED;
    double ends = lift.mean_mm + (plan->tight ? 0.0 : forecast->shift_mm);
    darc_decision_turn(known, pump_angle(known, ends), pump_angle(known, middle), d);
    darc_decision_turn_u(known, plan->lift_u_mm, rate_at(known, ends), d);
    const darc_belief error = reading_error(j, j->variance, middle);
    double way, minimum = j->rounds[j->latest.first + j->latest.rows - 1].minimum_mm;
    /* Before there are pairs nothing tells to which side of the middle to lean. */
    double guard = j->shift.pairs ? darc_belief_expanded(&error) : 0.0;
    darc_forecast_aim(forecast, &error, guard, low, high, &way, &d->aim_probability_in);
    d->aim_mm = darc_shown_way(&known->dial, minimum, way);
    advise(j, ends, sure, plan);
}

static dialarc_status check(const dialarc_setup *setup, size_t n,
                            const dialarc_round *rounds)
{
    dialarc_status status = dialarc_setup_check(setup);
    for (size_t i = 0; i < n && status == DIALARC_OK; i++) {
        if (!isfinite(rounds[i].minimum_mm) || !isfinite(rounds[i].tdc_mm))
            return DIALARC_ERR_NOT_FINITE;
        if (fabs(rounds[i].minimum_mm) > DARC_LARGEST ||
            fabs(rounds[i].tdc_mm) > DARC_LARGEST)
            return DIALARC_ERR_RANGE;
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
