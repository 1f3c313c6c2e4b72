/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/next_steps.h>

#include <math.h>
#include <stdbool.h>

#include "guide/step_text.h"
#include "record/known.h"

/* All common practice, no source: */
#define WHOLE_TOOTH   0.75 /* so near to a tooth, or more, and it is the likelier cause */
#define BACK_DEG      20.0 /* behind the slack */
#define USUAL_SLACK   5.0  /* where it is not known, and what it is rounded up to */
#define AIM_MOVES     (1.0 / 3.0) /* of the half width of the window, by rounding */
#define FINEST_AIM_MM 0.001

/* The steps are named in turn, and the one that is asked for is kept. */
typedef struct list {
    const dialarc_setup *setup;
    const dialarc_decision *decision;
    const dialarc_findings *findings;
    double slack_crank_deg;
    int of_rounds;
    size_t left; /* to come before the one that is asked for */
    bool found;
    int number;
    dialarc_step *step;
} list;

static dialarc_step empty_step(void)
{
    return (dialarc_step){
        .code = DIALARC_STEP_NONE,
        .turn_pump_deg = DIALARC_UNKNOWN,
        .turn_u_pump_deg = DIALARC_UNKNOWN,
        .turn_along_mm = DIALARC_UNKNOWN,
        .turn_teeth = DIALARC_UNKNOWN,
        .back_crank_deg = DIALARC_UNKNOWN,
        .aim_mm = DIALARC_UNKNOWN,
        .aim_probability_in = DIALARC_UNKNOWN,
        .tdc_sd_deg = DIALARC_UNKNOWN,
        .tdc_sd_needed_deg = DIALARC_UNKNOWN,
    };
}

/* The aim as the dial can show it. */
static double shown_aim(const dialarc_setup *setup, double aim_mm)
{
    const darc_known known = darc_known_of(setup);
    const double step = known.noise.step_mm, half = 0.5 * (known.high_mm - known.low_mm);
    const double marks[] = {step, 0.5 * step};
    for (int i = 0; known.has_window && step > FINEST_AIM_MM && i < 2; i++) {
        double shown = round(aim_mm / marks[i]) * marks[i];
        if (fabs(shown - aim_mm) <= AIM_MOVES * half)
            return shown;
    }
    return round(aim_mm / FINEST_AIM_MM) * FINEST_AIM_MM;
}

static dialarc_rotation other_way(dialarc_rotation way)
{
    return way == DIALARC_ROTATION_CW    ? DIALARC_ROTATION_CCW
           : way == DIALARC_ROTATION_CCW ? DIALARC_ROTATION_CW
                                         : way;
}

static void fill_turn(const list *l, dialarc_step *s)
{
    const dialarc_decision *d = l->decision;
    bool body = l->setup->turned == DIALARC_TURNED_BODY;
    s->turn_pump_deg = d->turn_pump_deg;
    s->turn_u_pump_deg = d->turn_u_pump_deg;
    if (s->code != DIALARC_STEP_TURN)
        return;
    s->turn_rotation = body ? other_way(d->turn_rotation) : d->turn_rotation;
    s->turn_along_mm = body ? d->turn_body_mm : d->turn_rim_mm;
    s->turn_teeth = d->turn_teeth;
}

static void fill(const list *l, dialarc_step *s)
{
    const dialarc_decision *d = l->decision;
    double slack = isnan(l->slack_crank_deg) ? USUAL_SLACK : l->slack_crank_deg;
    switch (s->code) {
    case DIALARC_STEP_TDC_NEEDED:
        s->tdc_sd_deg = d->tdc_sd_deg;
        s->tdc_sd_needed_deg = d->tdc_sd_needed_deg;
        break;
    case DIALARC_STEP_TURN:
    case DIALARC_STEP_LEAVE_SMALL:
        fill_turn(l, s);
        break;
    case DIALARC_STEP_COME_FORWARD:
        if (l->setup->turn_back != DIALARC_TURN_BACK_FORBIDDEN)
            s->back_crank_deg = BACK_DEG + ceil(slack / USUAL_SLACK) * USUAL_SLACK;
        break;
    case DIALARC_STEP_AIM:
        s->aim_mm = shown_aim(l->setup, d->aim_mm);
        s->aim_probability_in = d->aim_probability_in;
        break;
    default:
        break;
    }
}

static void name_it(list *l, dialarc_step_code code, int number)
{
    if (l->left-- != 0 || l->found)
        return;
    l->found = true;
    dialarc_step s = empty_step();
    s.code = code;
    s.number = number;
    s.of_rounds = l->of_rounds;
    s.advice = l->decision->advice;
    fill(l, &s);
    *l->step = s;
}

static void step(list *l, dialarc_step_code code)
{
    name_it(l, code, ++l->number);
}

/* What belongs to the step before. */
static void under(list *l, dialarc_step_code code)
{
    name_it(l, code, 0);
}

/* What the window asks of TDC, where that is not known well enough or not stated. */
static void tdc_needed(list *l)
{
    double needed = l->decision->tdc_sd_needed_deg;
    bool stated = !isnan(l->setup->tdc_sd_deg);
    if (!isnan(needed) && !(stated && needed >= l->decision->tdc_sd_deg))
        under(l, DIALARC_STEP_TDC_NEEDED);
}

/* The way to mid-window, and what comes after it. */
static void way(list *l)
{
    step(l, DIALARC_STEP_TURN);
    if (isgreaterequal(fabs(l->decision->turn_teeth), WHOLE_TOOTH))
        under(l, DIALARC_STEP_WHOLE_TOOTH);
    step(l, DIALARC_STEP_COME_FORWARD);
    if (!isnan(l->decision->aim_mm))
        under(l, DIALARC_STEP_AIM);
    step(l, DIALARC_STEP_TIGHTEN);
}

static void better_first(list *l)
{
    step(l, DIALARC_STEP_BETTER_FIRST);
    tdc_needed(l);
    if (!l->decision->worth_turning) {
        step(l, DIALARC_STEP_LEAVE_SMALL);
        return;
    }
    under(l, DIALARC_STEP_ALL_THE_SAME);
    way(l);
}

static void by_advice(list *l)
{
    if (dialarc_findings_worst(l->findings) >= DIALARC_SEVERITY_CAUTION)
        step(l, DIALARC_STEP_SEE_CAUTIONS);
    switch (l->decision->advice) {
    case DIALARC_ADVICE_TURN:
        way(l);
        break;
    case DIALARC_ADVICE_LEAVE:
        step(l, DIALARC_STEP_LEAVE_SMALL);
        break;
    case DIALARC_ADVICE_TIGHTEN:
        step(l, DIALARC_STEP_TIGHTEN);
        break;
    default:
        better_first(l);
        return;
    }
    tdc_needed(l);
}

static void closing(list *l)
{
    step(l, DIALARC_STEP_LEAVE_GOOD);
    step(l, DIALARC_STEP_TORQUE);
    step(l, DIALARC_STEP_TURN_BY_HAND);
    step(l, DIALARC_STEP_CLOSE_UP);
    step(l, DIALARC_STEP_FUEL);
    step(l, DIALARC_STEP_LEAKS);
}

static void by_verdict(list *l)
{
    switch (l->decision->verdict) {
    case DIALARC_VERDICT_NONE:
        step(l, DIALARC_STEP_FIND_WINDOW);
        return;
    case DIALARC_VERDICT_IN:
        closing(l);
        return;
    case DIALARC_VERDICT_UNUSABLE:
        step(l, DIALARC_STEP_PUT_RIGHT);
        return;
    case DIALARC_VERDICT_UNDECIDED:
    case DIALARC_VERDICT_LOW:
    case DIALARC_VERDICT_HIGH:
        by_advice(l);
    }
}

static dialarc_status check(const list *l)
{
    const dialarc_decision *d = l->decision;
    const double told[] = {
        d->turn_pump_deg,     d->turn_u_pump_deg, d->turn_rim_mm,        d->turn_body_mm,
        d->turn_teeth,        d->aim_mm,          d->aim_probability_in, d->tdc_sd_deg,
        d->tdc_sd_needed_deg, l->slack_crank_deg};
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++)
        if (isinf(told[i]))
            return DIALARC_ERR_NOT_FINITE;
    return dialarc_setup_check(l->setup);
}

static dialarc_status find(list *l)
{
    dialarc_status status = check(l);
    if (status != DIALARC_OK)
        return status;
    by_verdict(l);
    if (!l->found)
        *l->step = empty_step();
    return DIALARC_OK;
}

dialarc_status dialarc_next_step(const dialarc_setup *setup, const dialarc_timing *timing,
                                 const dialarc_decision *decision, size_t which,
                                 dialarc_step *step)
{
    if (!setup || !timing || !decision || !step)
        return DIALARC_ERR_NULL;
    list l = {.setup = setup,
              .decision = decision,
              .findings = &timing->findings,
              .slack_crank_deg = timing->slack_crank_deg,
              .left = which,
              .step = step};
    return find(&l);
}

dialarc_status dialarc_next_round_step(const dialarc_setup *setup,
                                       const dialarc_plan *plan, size_t which,
                                       dialarc_step *step)
{
    if (!setup || !plan || !step)
        return DIALARC_ERR_NULL;
    list l = {.setup = setup,
              .decision = &plan->decision,
              .findings = &plan->findings,
              .slack_crank_deg = DIALARC_UNKNOWN,
              .of_rounds = 1,
              .left = which,
              .step = step};
    return find(&l);
}

static dialarc_status check_step(const dialarc_step *s)
{
    const double told[] = {
        s->turn_pump_deg,      s->turn_u_pump_deg, s->turn_along_mm,
        s->turn_teeth,         s->back_crank_deg,  s->aim_mm,
        s->aim_probability_in, s->tdc_sd_deg,      s->tdc_sd_needed_deg};
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++)
        if (isinf(told[i]))
            return DIALARC_ERR_NOT_FINITE;
    return s->code >= DIALARC_STEP_NONE && s->code <= DIALARC_STEP_LEAKS
               ? DIALARC_OK
               : DIALARC_ERR_CHOICE;
}

dialarc_status dialarc_step_text(const dialarc_setup *setup, const dialarc_step *step,
                                 char *text, size_t size, size_t *length)
{
    if (!setup || !step || !text)
        return DIALARC_ERR_NULL;
    if (size < DIALARC_STEP_SIZE)
        return DIALARC_ERR_SIZE;
    dialarc_status status = dialarc_setup_check(setup);
    if (status == DIALARC_OK)
        status = check_step(step);
    if (status != DIALARC_OK)
        return status;
    size_t used = darc_step_text(setup, step, text, size);
    if (length)
        *length = used;
    return DIALARC_OK;
}
