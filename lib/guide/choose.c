/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "guide/choose.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "guide/outlook.h"
#include "numeric/exchange.h"

/* Guesses for which a choice is to be good. */
#define LIFT_VIEWS 3
static const double lift_away[LIFT_VIEWS] = {-DARC_LIFT_AWAY_MM, 0.0, DARC_LIFT_AWAY_MM};
#define SLACK_VIEWS 2 /* both ways; forward it does not matter */
static const double slack_deg[SLACK_VIEWS] = {2.0, 8.0};
#define MOST_VIEWS (LIFT_VIEWS * SLACK_VIEWS)

/* Readings at rest: one may be misread, and a cam to be learned needs two. */
#define SETTLED_AT_REST 2
#define AT_REST_LEARN   3

/* Evenly spaced readings show what the model, straight about a guess, does not foresee:
 * with fewer, simulated sweeps were told wrong or could not be used. */
#define EVEN_PART       5 /* one in so many */
#define EVEN_LEAST      2
#define EVEN_PART_LEARN 2
#define LEAST_LEARN     12

#define FURTHEST_DEG 720.0
#define LEAST_PRIOR  1e-6 /* of what has none: nothing must be wholly open */

dialarc_status darc_reach_check(const dialarc_reach *r, const dialarc_setup *setup)
{
    double at = isnan(setup->window_crank_deg) ? 0.0 : setup->window_crank_deg;
    double first = r->first_crank_deg, last = r->last_crank_deg;
    if (!isfinite(first) || !isfinite(last) || !isfinite(r->step_crank_deg))
        return DIALARC_ERR_NOT_FINITE;
    if (!(r->step_crank_deg > 0.0) || !(first >= -FURTHEST_DEG && last <= FURTHEST_DEG) ||
        !(first < at && at <= last))
        return DIALARC_ERR_ANGLE;
    if ((last - first) / r->step_crank_deg > DIALARC_REACH_MAX - 1)
        return DIALARC_ERR_SIZE;
    return DIALARC_OK;
}

size_t darc_reach_forward(const dialarc_reach *reach)
{
    double way = reach->last_crank_deg - reach->first_crank_deg;
    return (size_t)floor(way / reach->step_crank_deg + 1e-9) + 1;
}

size_t darc_reach_angles(const dialarc_reach *reach, double *crank_deg)
{
    size_t forward = darc_reach_forward(reach), back = reach->both_ways ? forward - 1 : 0;
    for (size_t k = 0; crank_deg && k < forward + back; k++) {
        size_t step = k < forward ? k : 2 * (forward - 1) - k;
        crank_deg[k] = reach->first_crank_deg + (double)step * reach->step_crank_deg;
    }
    return forward + back;
}

/* What the candidates tell, by each guess. */
typedef struct views {
    int count, n_param;
    darc_view view[MOST_VIEWS];
    double wanted[MOST_VIEWS][DARC_MAX_PARAM];
    double prior[MOST_VIEWS][DARC_MAX_PARAM];
    double *row;     /* of all views, DARC_MAX_PARAM a candidate */
    double *rest_mm; /* of each candidate, the most that it is above the minimum */
} views;

typedef struct plan {
    size_t candidates, forward, n;
    double *angle; /* one a candidate */
    double *dial;  /* room for as many */
    size_t *taken; /* n candidates */
    size_t kept;   /* so many of them are settled */
    views views;
} plan;

static void add_view(const darc_fit *fit, size_t candidates, views *all)
{
    double value[DARC_ASKED], gradient[DARC_ASKED][DARC_MAX_PARAM];
    int v = all->count++;
    size_t p = (size_t)fit->model.n_param;
    double *row = all->row + (size_t)v * candidates * DARC_MAX_PARAM;
    all->n_param = fit->model.n_param;
    for (size_t i = 0; i < candidates; i++) {
        const darc_row *r = &fit->at.rows[i];
        double root = sqrt(darc_outlook_weight(&fit->noise, r));
        all->rest_mm[i] = fmax(all->rest_mm[i], r->mean);
        for (size_t k = 0; k < p; k++)
            row[i * p + k] = root * r->by[k];
    }
    darc_fit_ask(fit, value, gradient);
    memcpy(all->wanted[v], gradient[DARC_ASK_LIFT], sizeof all->wanted[v]);
    for (size_t k = 0; k < p; k++)
        all->prior[v][k] = fmax(fit->prior.weight[k], LEAST_PRIOR);
    all->view[v] = (darc_view){row, all->wanted[v], all->prior[v]};
}

static dialarc_status look_at(darc_memory *memory, const dialarc_setup *setup,
                              double lift_mm, bool both_ways, plan *p)
{
    int count = LIFT_VIEWS * (both_ways ? SLACK_VIEWS : 1);
    for (int k = 0; k < count; k++) {
        const darc_guess guess = {lift_mm + lift_away[k % LIFT_VIEWS],
                                  slack_deg[k / LIFT_VIEWS], DIALARC_LAW_MODIFIED_SINE,
                                  0.0};
        darc_problem problem;
        dialarc_status status = darc_outlook_open(memory, setup, &guess, p->candidates,
                                                  p->angle, p->dial, &problem);
        if (status != DIALARC_OK)
            return status;
        add_view(&memory->fit, p->candidates, &p->views);
    }
    return DIALARC_OK;
}

static bool is_taken(const plan *p, size_t candidate)
{
    for (size_t k = 0; k < p->kept; k++)
        if (p->taken[k] == candidate)
            return true;
    return false;
}

/* Settles a candidate, or the next one when that is settled. */
static void settle(plan *p, size_t candidate)
{
    while (is_taken(p, candidate))
        candidate = (candidate + 1) % p->candidates;
    p->taken[p->kept++] = candidate;
}

/* Evenly spaced over the candidates, so many. */
static void settle_even(plan *p, size_t count)
{
    for (size_t k = 0; k < count; k++)
        settle(p, k * (p->candidates - 1) / (count > 1 ? count - 1 : 1));
}

static void settle_rest(plan *p)
{
    size_t best = 0;
    while (best + 1 < p->forward && is_taken(p, best))
        best++;
    for (size_t i = best; i < p->forward; i++)
        if (!is_taken(p, i) && p->views.rest_mm[i] <= p->views.rest_mm[best])
            best = i;
    settle(p, best);
}

static void settle_some(plan *p, double window_crank_deg, bool both_ways, bool given)
{
    size_t at = 0, least = p->n / EVEN_PART;
    while (at + 1 < p->forward && p->angle[at] < window_crank_deg)
        at++;
    settle(p, at);
    if (both_ways && at + 1 < p->forward)
        settle(p, p->forward - 1);
    for (int k = 0; k < (given ? SETTLED_AT_REST : AT_REST_LEARN); k++)
        settle_rest(p);
    if (given) {
        least = least < EVEN_LEAST ? EVEN_LEAST : least;
    } else {
        least = p->n / EVEN_PART_LEARN;
        least = least < LEAST_LEARN ? LEAST_LEARN : least;
    }
    size_t left = p->n - p->kept;
    settle_even(p, least < left ? least : left);
}

static int by_size(const void *a, const void *b)
{
    size_t x = *(const size_t *)a, y = *(const size_t *)b;
    return (x > y) - (x < y);
}

/* Settles some readings, and exchanges the others, even ones at first. */
static dialarc_status choose_from(const darc_known *known, bool both_ways, bool given,
                                  plan *p)
{
    settle_some(p, known->window_crank_deg, both_ways, given);
    const darc_choice choice = {.views = p->views.count,
                                .view = p->views.view,
                                .n_param = p->views.n_param,
                                .candidates = p->candidates,
                                .most = 1,
                                .kept = p->kept,
                                .robust = true};
    settle_even(p, p->n - p->kept);
    dialarc_status status = darc_exchange(&choice, p->n, p->taken);
    qsort(p->taken, p->n, sizeof *p->taken, by_size);
    return status;
}

static bool make_room(const dialarc_reach *reach, size_t n, plan *p)
{
    size_t looks = (size_t)LIFT_VIEWS * (reach->both_ways ? SLACK_VIEWS : 1);
    *p = (plan){.n = n, .forward = darc_reach_forward(reach)};
    p->candidates = darc_reach_angles(reach, NULL);
    p->angle = malloc(p->candidates * sizeof *p->angle);
    p->dial = malloc(p->candidates * sizeof *p->dial);
    p->taken = malloc(n * sizeof *p->taken);
    p->views.row = malloc(looks * p->candidates * DARC_MAX_PARAM * sizeof *p->views.row);
    p->views.rest_mm = calloc(p->candidates, sizeof *p->views.rest_mm);
    return p->angle && p->dial && p->taken && p->views.row && p->views.rest_mm;
}

static void give_back(plan *p)
{
    free(p->angle);
    free(p->dial);
    free(p->taken);
    free(p->views.row);
    free(p->views.rest_mm);
}

dialarc_status darc_choose(darc_memory *memory, const dialarc_setup *setup,
                           double lift_mm, const dialarc_reach *reach, size_t n,
                           double *crank_deg)
{
    plan p;
    dialarc_status status = DIALARC_ERR_NO_MEMORY;
    bool both_ways = reach->both_ways != 0;
    if (make_room(reach, n, &p)) {
        darc_reach_angles(reach, p.angle);
        status = look_at(memory, setup, lift_mm, both_ways, &p);
    }
    if (status == DIALARC_OK) {
        const darc_known known = darc_known_of(setup);
        status = choose_from(&known, both_ways, known.has_shape, &p);
    }
    for (size_t k = 0; status == DIALARC_OK && k < n; k++)
        crank_deg[k] = p.angle[p.taken[k]];
    give_back(&p);
    return status;
}
