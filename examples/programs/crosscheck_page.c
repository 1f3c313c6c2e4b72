/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "crosscheck_page.h"

#include <math.h>
#include <string.h>

#include "page.h"
#include "shown.h"
#include "words.h"

#define COVERED 1.96 /* 95 % of a normal distribution */

/* Below this chance one is no longer the farthest by chance. */
#define SINGLED_OUT 0.05

#define MUCH 2.0 /* timings that scatter so many times what is stated */

static const char *name_of(const crosscheck_page *p, size_t which, char room[SHOWN_SIZE])
{
    return shown(p->seen[which].name, room, SHOWN_SIZE);
}

static void say_witness(FILE *out, const crosscheck_page *p, size_t i)
{
    char safe[SHOWN_SIZE];
    const crosscheck_seen *s = &p->seen[i];
    char lead[64];
    int used = snprintf(lead, sizeof lead, "  %+6.2f +- %4.2f",
                        page_round(s->witness.advance_crank_deg, 2), COVERED * s->sd_deg);
    if (p->n > 1)
        snprintf(lead + used, sizeof lead - (size_t)used, "   %+6.2f +- %4.2f   ",
                 page_round(p->off_deg[i], 2), COVERED * p->off_sd_deg[i]);
    else
        snprintf(lead + used, sizeof lead - (size_t)used, "   ");
    page_say(out, lead, "%s", name_of(p, i, safe));
}

static void say_witnesses(FILE *out, const crosscheck_page *p)
{
    fputs(p->n > 1 ? "\n  says             off the others     witness\n"
                   : "\n  says             witness\n",
          out);
    for (size_t i = 0; i < p->n; i++)
        say_witness(out, p, i);
    fputc('\n', out);
}

/* What an advance means: the lift where the window is asked for, and whether it is in. */
static void say_setting(FILE *out, const engine *e, const char *lead,
                        const dialarc_crosscheck *c)
{
    char place[64];
    double lift = 0.0, at = 0.0, rate = 0.0, u = COVERED * c->sd_crank_deg;
    double low = e->crank_per_pump * (e->tdc_deg[0] - e->tdc_deg[1]);
    double high = e->crank_per_pump * (e->tdc_deg[2] - e->tdc_deg[1]);
    double least = c->advance_crank_deg - u, most = c->advance_crank_deg + u;
    page_say(out, lead, "%.2f crank degrees %s than mid-window, +- %.2f (95 %%).",
             fabs(page_round(c->advance_crank_deg, 2)),
             c->advance_crank_deg < 0.0 ? "later" : "earlier", u);
    if (dialarc_timing_shift_lift(&e->cam, e->crank_per_pump, c->advance_crank_deg, 1,
                                  &e->limit_mm[1], &lift) != DIALARC_OK)
        return;
    dialarc_cam_angle_at_lift(&e->cam, lift, DIALARC_FLANK_RISING, &at);
    dialarc_cam_rate(&e->cam, at, &rate);
    page_say(out, "                ",
             "A lift of %.3f mm at %s, +- %.3f; the window is "
             "%.3f to %.3f mm: %s",
             lift, page_place(e->setup, place), u * rate / e->crank_per_pump,
             e->limit_mm[0], e->limit_mm[2],
             least >= low && most <= high ? "it lies in the window."
             : most < low                 ? "it lies below: too late."
             : least > high               ? "it lies above: too early."
                            : "the uncertainty spans a limit, so that is not decided.");
}

static void say_agreement(FILE *out, const crosscheck_page *p)
{
    const dialarc_crosscheck *c = &p->all;
    char percent[32];
    if (p->n == 1) {
        page_say(out, "  Agreement     ",
                 "One witness alone agrees with itself: take a second that shares no "
                 "mark with it.");
        return;
    }
    page_say(out, "  Agreement     ",
             "Chi-square %.1f with %.0f degree%s of freedom; witnesses who are right "
             "differ by so much or more in %s of cases. %s",
             c->chi_square, c->dof, c->dof > 1.0 ? "s" : "",
             page_percent(c->agree_probability, percent),
             c->agree
                 ? "THEY AGREE. An error below the +- beside \"off the others\" would "
                   "hardly show."
                 : "THEY DO NOT AGREE: one of them at least is wrong by more than "
                   "it is said to be known.");
}

/* Whose error is it? */
static void say_farthest(FILE *out, const crosscheck_page *p)
{
    const dialarc_crosscheck *c = &p->all;
    char safe[SHOWN_SIZE], percent[32];
    double off = page_round(c->farthest_crank_deg, 2),
           u = COVERED * c->farthest_sd_crank_deg;
    if (p->n == 2) {
        page_say(out, "  Which one     ",
                 "They are %.2f crank degrees apart, +- %.2f. Which of two is wrong "
                 "cannot be told: take a third that shares nothing with them.",
                 fabs(off), u);
        return;
    }
    page_say(out, "  Which one     ",
             "%s: %.2f crank degrees %s than the others, +- %.2f. By chance one of %zu "
             "is so far off in %s of cases%s",
             name_of(p, c->farthest, safe), fabs(off), off < 0.0 ? "later" : "earlier", u,
             p->n, page_percent(c->farthest_probability, percent),
             c->farthest_probability < SINGLED_OUT
                 ? "."
                 : ", so it is not singled out: the fault may lie with another.");
    page_say(out, "                ", "Without it the others %s (%s).",
             p->others.agree ? "agree" : "do not agree either",
             page_percent(p->others.agree_probability, percent));
}

/* What timings over the speed show besides. */
static void say_running(FILE *out, const crosscheck_page *p)
{
    char safe[SHOWN_SIZE];
    for (size_t i = 0; i < p->n; i++) {
        const dialarc_at_rest *r = &p->seen[i].rest;
        if (!p->seen[i].running)
            continue;
        page_say(out, "  Over speed    ",
                 "%s: a delay of %.2f ms, +- %.2f, by %zu timings.%s%s",
                 name_of(p, i, safe), page_round(r->delay_ms, 2),
                 COVERED * r->delay_sd_ms, p->seen[i].readings,
                 r->delay_ms + COVERED * r->delay_sd_ms < 0.0
                     ? " A delay below 0 is none: a timing device moves the pump, or a "
                       "sign is exchanged."
                     : "",
                 isgreater(r->scatter, MUCH)
                     ? " They scatter more than is stated, which counts: does the line "
                       "bend where a timing device begins to move?"
                     : "");
    }
}

/* What all have in common no comparison shows. */
static void say_shared(FILE *out, const crosscheck_page *p)
{
    double mark = p->seen[0].witness.mark_sd_crank_deg;
    for (size_t i = 1; i < p->n; i++) {
        if (p->seen[i].witness.mark != p->seen[0].witness.mark)
            return;
        mark = fmin(mark, p->seen[i].witness.mark_sd_crank_deg);
    }
    if (p->n > 1 && mark > 0.0)
        page_say(out, "  One mark      ",
                 "All were read at one mark: its error, %.2f degrees (sd), moves them "
                 "alike, and no agreement shows it. dialarc tdc finds TDC by itself.",
                 mark);
}

static const char *advice_of(const crosscheck_seen *s)
{
    if (s->running)
        return "stay below the speed at which a timing device begins to move, put a "
               "cold-start advance out of action, and see that the lamp lights the mark "
               "of the timed cylinder. Is lift_mm the lift at which its injection "
               "begins?";
    if (fabs(s->crank_deg) < 1.0)
        return "give the dial 1 to 2 mm of preload, set it to zero at the minimum anew, "
               "and come to the mark in running direction.";
    return "bleed the air, come to the angle in running direction, and look up once more "
           "the lift at which flow stops on this pump.";
}

static void say_what_to_do(FILE *out, const crosscheck_page *p)
{
    char safe[SHOWN_SIZE];
    if (p->all.agree) {
        page_say(out, "  What to do    ",
                 "Leave the pump as it is where the setting lies in the window; where "
                 "not, dialarc assess and dialarc round tell which way to turn it and "
                 "what to aim at.");
        return;
    }
    page_say(out, "  What to do    ",
             "Leave the pump as it is, and take no mean of witnesses who do not agree. "
             "Measure anew:");
    for (size_t i = 0; i < p->n; i++)
        if (p->n == 2 || i == p->all.farthest)
            page_say(out, "                ", "%s: %s", name_of(p, i, safe),
                     advice_of(&p->seen[i]));
    page_say(out, "                ", "Then look at the others, and at what they share.");
}

void crosscheck_page_say(FILE *out, const crosscheck_page *p)
{
    char safe[SHOWN_SIZE], place[64];
    const engine *e = &p->engine;
    page_head(out, "CROSSCHECK OF %s, %zu witness%s", shown(e->name, safe, sizeof safe),
              p->n, p->n == 1 ? "" : "es");
    page_say(out, "  Counted       ",
             "in crank degrees from mid-window, %.3f mm at %s: above 0 is earlier.",
             e->limit_mm[1], page_place(e->setup, place));
    say_witnesses(out, p);
    say_agreement(out, p);
    if (p->all.agree)
        say_setting(out, e, "  Together      ", &p->all);
    else
        say_farthest(out, p);
    if (!p->all.agree && p->n > 2 && p->others.agree)
        say_setting(out, e, "  The others    ", &p->others);
    say_running(out, p);
    say_shared(out, p);
    say_what_to_do(out, p);
    page_say(out, "  Note          ",
             "With the engine running keep hands, hair, leads and lamp away from belt "
             "and fan: under a strobe they seem to stand still.");
    writer page = page_writer(out);
    words_cautions(&page);
}
