/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/joint.h>

#include <math.h>
#include <stdbool.h>

#include <gsl/gsl_cdf.h>

#include "core/finding.h"
#include "core/normal.h"
#include "decision/advice.h"
#include "decision/decision.h"
#include "decision/looks.h"
#include "numeric/cholesky.h"

#define MOST_LOOKS DIALARC_LOOKS_MAX

/* Excess of one look: common practice, no source. */
#define EXCESS_MM       0.001 /* scale of what is thought beforehand, ... */
#define EXCESS_DOF      3.0   /* ... and its degrees of freedom */
#define EXCESS_MOST_MM  0.003 /* what looks of one setting may differ by besides */
#define NOT_ONE_SETTING 0.002 /* chance of the finding when nothing is wrong */
#define NODES           20    /* excesses that are tried, ... */
#define NODE_FIRST_MM   0.0001
#define NODE_GROWTH     1.5 /* ... up to 0.2 mm */
#define LOG_LEAST       (-30.0)
#define MOST_MM         100.0 /* no pump lifts so far, and squares keep their digits */

/* The looks under one excess: lift and variance after each of them, and how likely. */
typedef struct node {
    double mean[MOST_LOOKS], variance[MOST_LOOKS], log_weight[MOST_LOOKS];
} node;

/* What is drawn once for all looks that share it. */
static double shared(const dialarc_look *a, const dialarc_look *b, int cause)
{
    const struct {
        double a, b;
        bool same;
    } of[] = {{a->tdc_mm, b->tdc_mm, a->mark == b->mark},
              {a->hysteresis_mm, b->hysteresis_mm, a->dial == b->dial},
              {a->dial_mm, b->dial_mm, a->dial == b->dial},
              {a->wheel_mm, b->wheel_mm, a->wheel == b->wheel},
              {a->cam_mm, b->cam_mm, a->cam == b->cam}};
    double least = fmin(of[cause].a, of[cause].b);
    return of[cause].same || a == b ? least * least : 0.0;
}

#define CAUSES 5

/* What looks share, and on the diagonal all of each but its own. */
static void covariance(size_t n, const dialarc_look *looks,
                       double c[MOST_LOOKS * MOST_LOOKS])
{
    for (size_t i = 0; i < n; i++)
        for (size_t k = i; k < n; k++) {
            c[i * MOST_LOOKS + k] = 0.0;
            for (int cause = 0; cause < CAUSES; cause++)
                c[i * MOST_LOOKS + k] += shared(&looks[i], &looks[k], cause);
        }
}

/* One factor serves all looks up to each: it begins with theirs. Results that are not
 * needed may be NULL: the weights of the looks, and chi-square of what they differ by. */
static bool pool(size_t n, const dialarc_look *looks, double excess_mm, node *out,
                 double weight[MOST_LOOKS], double *chi_square)
{
    double c[MOST_LOOKS * MOST_LOOKS] = {0.0}, factor[MOST_LOOKS * MOST_LOOKS],
                          own[MOST_LOOKS] = {0.0};
    double z[MOST_LOOKS], q[MOST_LOOKS];
    double one = 0.0, both = 0.0, squares = 0.0, log_det = 0.0;
    covariance(n, looks, c);
    for (size_t i = 0; i < n; i++)
        own[i] = looks[i].readings_mm * looks[i].readings_mm + excess_mm * excess_mm;
    if (!darc_cholesky((int)n, MOST_LOOKS, c, own, factor, NULL))
        return false;
    for (size_t i = 0; i < n; i++) {
        z[i] = 1.0;
        q[i] = looks[i].lift_mm - looks[0].lift_mm;
        for (size_t k = 0; k < i; k++) {
            z[i] -= factor[k * MOST_LOOKS + i] * z[k];
            q[i] -= factor[k * MOST_LOOKS + i] * q[k];
        }
        double pivot = factor[i * MOST_LOOKS + i];
        z[i] /= pivot;
        q[i] /= pivot;
        one += z[i] * z[i];
        both += z[i] * q[i];
        squares += q[i] * q[i];
        log_det += 2.0 * log(pivot);
        double left = fmax(squares - both * both / one, 0.0);
        out->mean[i] = looks[0].lift_mm + both / one;
        out->variance[i] = 1.0 / one;
        out->log_weight[i] = -0.5 * (log_det + log(one) + left);
        if (chi_square)
            *chi_square = left;
    }
    if (weight) {
        for (size_t i = 0; i < n; i++)
            weight[i] = 1.0 / one;
        darc_cholesky_solve((int)n, MOST_LOOKS, factor, weight);
    }
    return true;
}

/* Log of what is thought of an excess beforehand, on a grid even in its logarithm. */
static double log_prior(double excess_mm)
{
    double t = excess_mm / EXCESS_MM;
    return log(t) - 0.5 * (EXCESS_DOF + 1.0) * log1p(t * t / EXCESS_DOF);
}

static double excess_of(int k)
{
    return NODE_FIRST_MM * pow(NODE_GROWTH, k);
}

/* The looks up to one of them under every excess: a mixture of normal distributions. */
typedef struct mixture {
    double weight[NODES], mean[NODES], sd[NODES];
    double lift_mm, excess_mm;
    double ratio; /* of the variance to that of one look less */
} mixture;

static void mix(const node nodes[NODES], size_t last, mixture *m)
{
    double best = -HUGE_VAL, sum = 0.0, below = 0.0;
    for (int k = 0; k < NODES; k++) {
        m->weight[k] = log_prior(excess_of(k)) + nodes[k].log_weight[last];
        best = fmax(best, m->weight[k]);
    }
    for (int k = 0; k < NODES; k++) {
        double log_weight = m->weight[k] - best;
        m->weight[k] = log_weight < LOG_LEAST ? 0.0 : exp(log_weight);
        m->mean[k] = nodes[k].mean[last];
        m->sd[k] = sqrt(nodes[k].variance[last]);
        sum += m->weight[k];
    }
    double now = 0.0, before = 0.0;
    m->lift_mm = m->excess_mm = 0.0;
    for (int k = 0; k < NODES; k++) {
        m->weight[k] /= sum;
        m->lift_mm += m->weight[k] * m->mean[k];
        now += m->weight[k] * nodes[k].variance[last];
        before += m->weight[k] * nodes[k].variance[last ? last - 1 : 0];
        below += m->weight[k]; /* the median; the mean hangs on the tail */
        if (below - m->weight[k] < 0.5)
            m->excess_mm = excess_of(k);
    }
    m->ratio = now / before;
}

static dialarc_conformity split(const mixture *m, double low, double high)
{
    dialarc_conformity all = {0.0, 0.0, 0.0}, one;
    for (int k = 0; k < NODES; k++) {
        if (!(m->weight[k] > 0.0))
            continue;
        dialarc_conformity_split(m->mean[k], m->sd[k], low, high, &one);
        all.below += m->weight[k] * one.below;
        all.inside += m->weight[k] * one.inside;
        all.above += m->weight[k] * one.above;
    }
    return all;
}

/* Half the interval about the mean that holds the lift with probability 95 %. */
static double expanded(const mixture *m)
{
    double low = 0.0, high = 0.0;
    for (int k = 0; k < NODES; k++)
        if (m->weight[k] > 0.0)
            high = fmax(high, fabs(m->mean[k] - m->lift_mm) + 4.0 * m->sd[k]);
    for (;;) {
        double middle = 0.5 * (low + high);
        if (!(middle > low && middle < high))
            return high;
        if (split(m, m->lift_mm - middle, m->lift_mm + middle).inside < 0.95)
            low = middle;
        else
            high = middle;
    }
}

/* Squares of the parts of the pooled lift under one excess, weighed into the budget. */
static void add_parts(size_t n, const dialarc_look *looks, const double *weight,
                      double excess_mm, double share, dialarc_budget *b)
{
    double *const part[CAUSES] = {&b->tdc_mm, &b->hysteresis_mm, &b->dial_mm,
                                  &b->wheel_mm, &b->cam_mm};
    for (size_t i = 0; i < n; i++) {
        double own = hypot(looks[i].readings_mm, excess_mm) * weight[i];
        b->readings_mm += share * own * own;
        for (size_t k = 0; k < n; k++)
            for (int cause = 0; cause < CAUSES; cause++)
                *part[cause] +=
                    share * weight[i] * weight[k] * shared(&looks[i], &looks[k], cause);
    }
}

static void close_budget(dialarc_budget *b)
{
    double *const part[] = {&b->readings_mm, &b->tdc_mm,   &b->hysteresis_mm,
                            &b->dial_mm,     &b->wheel_mm, &b->cam_mm};
    b->total_mm = 0.0;
    for (size_t k = 0; k < sizeof part / sizeof part[0]; k++) {
        *part[k] = fmax(*part[k], 0.0);
        b->total_mm += *part[k];
        *part[k] = sqrt(*part[k]);
    }
    b->total_mm = sqrt(b->total_mm);
}

static void judge(const dialarc_conformity *where, const darc_looks *counted,
                  dialarc_joint *joint)
{
    joint->probability_in = where->inside;
    joint->probability_low = where->below;
    joint->probability_high = where->above;
    joint->sure = counted->sure;
    joint->verdict =
        joint->together ? darc_looks_verdict(where, counted) : DIALARC_VERDICT_UNDECIDED;
}

/* One look alone, as its sweep has it. */
static dialarc_conformity only(const dialarc_look *look, double low, double high)
{
    dialarc_conformity where;
    double variance = look->readings_mm * look->readings_mm;
    for (int cause = 0; cause < CAUSES; cause++)
        variance += shared(look, look, cause);
    dialarc_conformity_split(look->lift_mm, sqrt(variance), low, high, &where);
    return where;
}

/* Whether the looks can be of one setting, and if not, which lies farthest off. */
static void check_together(size_t n, const dialarc_look *looks, dialarc_joint *joint)
{
    node usual;
    double chi_square = 0.0;
    size_t worst = 0;
    joint->together = 1;
    if (n < 2 || !pool(n, looks, EXCESS_MOST_MM, &usual, NULL, &chi_square))
        return;
    /* Far out the answer is plain, and GSL need not be asked. */
    double dof = (double)n - 1.0;
    joint->agree_probability =
        chi_square > 500.0 + 10.0 * dof ? 0.0 : gsl_cdf_chisq_Q(chi_square, dof);
    joint->together = joint->agree_probability >= NOT_ONE_SETTING;
    for (size_t i = 1; i < n; i++)
        if (fabs(looks[i].lift_mm - usual.mean[n - 1]) >
            fabs(looks[worst].lift_mm - usual.mean[n - 1]))
            worst = i;
    if (!joint->together)
        darc_findings_add(&joint->findings, DIALARC_FINDING_REPEATABILITY,
                          DIALARC_SEVERITY_CAUTION, worst);
}

/* Lift, uncertainty and budget of several looks. */
static void pool_lift(size_t n, const dialarc_look *looks, const mixture *m,
                      dialarc_joint *joint)
{
    node scratch;
    double weight[MOST_LOOKS];
    joint->lift_mm = m->lift_mm;
    joint->lift_u_mm = expanded(m);
    joint->excess_mm = m->excess_mm;
    for (int k = 0; k < NODES; k++) {
        double away = m->mean[k] - m->lift_mm, share = m->weight[k];
        if (!(share > 0.0 && pool(n, looks, excess_of(k), &scratch, weight, NULL)))
            continue;
        add_parts(n, looks, weight, excess_of(k), share, &joint->budget);
        joint->budget.readings_mm += share * away * away;
    }
    close_budget(&joint->budget);
}

static void pool_one(const dialarc_look *look, dialarc_joint *joint)
{
    const double weight = 1.0;
    add_parts(1, look, &weight, 0.0, 1.0, &joint->budget);
    close_budget(&joint->budget);
    joint->lift_mm = look->lift_mm;
    joint->lift_u_mm = DARC_NORMAL_975 * joint->budget.total_mm;
}

static dialarc_status pool_all(const darc_known *known, size_t n,
                               const dialarc_look *looks, dialarc_joint *joint)
{
    node nodes[NODES];
    mixture m;
    darc_looks counted = {.n = 0};
    for (int k = 0; k < NODES; k++)
        if (!pool(n, looks, excess_of(k), &nodes[k], NULL, NULL))
            return DIALARC_ERR_SD;
    mix(nodes, n - 1, &m);
    if (n > 1)
        pool_lift(n, looks, &m, joint);
    else
        pool_one(looks, joint);
    check_together(n, looks, joint);
    if (!known->has_window)
        return DIALARC_OK;
    dialarc_conformity where = only(&looks[0], known->low_mm, known->high_mm);
    darc_looks_count(&where, 1.0, &counted);
    for (size_t look = 1; look < n; look++) {
        mix(nodes, look, &m);
        where = split(&m, known->low_mm, known->high_mm);
        darc_looks_count(&where, m.ratio, &counted);
    }
    judge(&where, &counted, joint);
    return DIALARC_OK;
}

static dialarc_status check_look(const dialarc_look *l)
{
    const double sd[] = {l->readings_mm, l->tdc_mm,   l->hysteresis_mm,
                         l->dial_mm,     l->wheel_mm, l->cam_mm};
    if (!isfinite(l->lift_mm))
        return DIALARC_ERR_NOT_FINITE;
    for (size_t k = 0; k < sizeof sd / sizeof sd[0]; k++) {
        if (!isfinite(sd[k]))
            return DIALARC_ERR_NOT_FINITE;
        if (!(sd[k] >= 0.0 && sd[k] <= MOST_MM))
            return DIALARC_ERR_SD;
    }
    return fabs(l->lift_mm) <= MOST_MM ? DIALARC_OK : DIALARC_ERR_LIFT;
}

dialarc_status dialarc_joint_look(const dialarc_timing *timing, dialarc_look *look)
{
    if (!timing || !look)
        return DIALARC_ERR_NULL;
    const dialarc_budget *b = &timing->budget;
    const dialarc_look l = {.lift_mm = timing->lift_mm,
                            .readings_mm = b->readings_mm,
                            .tdc_mm = b->tdc_mm,
                            .hysteresis_mm = b->hysteresis_mm,
                            .dial_mm = b->dial_mm,
                            .wheel_mm = b->wheel_mm,
                            .cam_mm = b->cam_mm};
    dialarc_status status = check_look(&l);
    if (status == DIALARC_OK)
        *look = l;
    return status;
}

/* There was no look. */
static void say_nothing(dialarc_joint *joint)
{
    joint->budget = (dialarc_budget){.readings_mm = DIALARC_UNKNOWN,
                                     .tdc_mm = DIALARC_UNKNOWN,
                                     .hysteresis_mm = DIALARC_UNKNOWN,
                                     .cam_mm = DIALARC_UNKNOWN,
                                     .dial_mm = DIALARC_UNKNOWN,
                                     .wheel_mm = DIALARC_UNKNOWN,
                                     .total_mm = DIALARC_UNKNOWN};
    joint->verdict = DIALARC_VERDICT_UNUSABLE;
    darc_findings_add(&joint->findings, DIALARC_FINDING_TOO_FEW_READINGS,
                      DIALARC_SEVERITY_STOP, DIALARC_NO_ROW);
}

dialarc_status dialarc_joint_assess(const dialarc_setup *setup, size_t n,
                                    const dialarc_look *looks, dialarc_joint *joint)
{
    if (!setup || !joint || (n && !looks))
        return DIALARC_ERR_NULL;
    if (n > DIALARC_LOOKS_MAX)
        return DIALARC_ERR_SIZE;
    dialarc_status status = dialarc_setup_check(setup);
    for (size_t i = 0; i < n && status == DIALARC_OK; i++)
        status = check_look(&looks[i]);
    if (status != DIALARC_OK)
        return status;
    dialarc_joint j = {.looks = n,
                       .lift_mm = DIALARC_UNKNOWN,
                       .lift_u_mm = DIALARC_UNKNOWN,
                       .excess_mm = DIALARC_UNKNOWN,
                       .agree_probability = DIALARC_UNKNOWN,
                       .verdict = DIALARC_VERDICT_NONE,
                       .probability_in = DIALARC_UNKNOWN,
                       .probability_low = DIALARC_UNKNOWN,
                       .probability_high = DIALARC_UNKNOWN,
                       .sure = DIALARC_UNKNOWN};
    const darc_known known = darc_known_of(setup);
    darc_findings_clear(&j.findings);
    if (n == 0)
        say_nothing(&j);
    else
        status = pool_all(&known, n, looks, &j);
    if (status == DIALARC_OK)
        *joint = j;
    return status;
}

dialarc_status dialarc_joint_timing(const dialarc_timing *latest,
                                    const dialarc_joint *joint, dialarc_timing *timing)
{
    if (!latest || !joint || !timing)
        return DIALARC_ERR_NULL;
    dialarc_timing t = *latest;
    t.lift_mm = joint->lift_mm;
    t.lift_u_mm = joint->lift_u_mm;
    t.budget = joint->budget;
    for (int k = 0; k < DIALARC_FINDING_COUNT; k++)
        if (dialarc_findings_has(&joint->findings, (dialarc_finding)k))
            darc_findings_add(
                &t.findings, (dialarc_finding)k, joint->findings.severity[k],
                DIALARC_NO_ROW); /* rows of looks are not those of readings */
    *timing = t;
    return DIALARC_OK;
}

dialarc_status dialarc_joint_judge(const dialarc_setup *setup,
                                   const dialarc_timing *timing,
                                   const dialarc_joint *joint, dialarc_decision *decision)
{
    dialarc_decision d;
    if (!joint || !decision)
        return DIALARC_ERR_NULL;
    if (isinf(joint->probability_in) || isinf(joint->probability_low) ||
        isinf(joint->probability_high))
        return DIALARC_ERR_NOT_FINITE;
    dialarc_status status = dialarc_decision_judge(setup, timing, &d);
    if (status != DIALARC_OK)
        return status;
    if (d.verdict != DIALARC_VERDICT_NONE && d.verdict != DIALARC_VERDICT_UNUSABLE) {
        const darc_known known = darc_known_of(setup);
        const darc_doubt doubt = darc_doubt_of(&known, timing);
        d.verdict = joint->verdict;
        d.probability_in = joint->probability_in;
        d.probability_low = joint->probability_low;
        d.probability_high = joint->probability_high;
        darc_advise(&known, &doubt, &d);
        if (!joint->together)
            d.advice = DIALARC_ADVICE_SEE_FINDINGS;
    }
    *decision = d;
    return DIALARC_OK;
}
