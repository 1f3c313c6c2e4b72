/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "kit/hostile_kit.h"

#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "kit/lobes_kit.h"
#include "kit/pluck_sim.h"
#include "kit/table_kit.h"

int hostile_plain_machine(void)
{
    const char *preloaded = getenv("LD_PRELOAD");
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
    return 0;
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
    return 0;
#endif
#endif
    return !preloaded || !strstr(preloaded, "vgpreload");
}

static sim_sweep sweep, few, turn;
static sim_job job, few_job, turn_job;
static double recording[PLUCK_CLEAR_N];
static char sweeps_text[40000];

static const dialarc_cam cam = {.lobes = 4,
                                .lift_mm = 2.2,
                                .rise_deg = 38.0,
                                .top_dwell_deg = 4.0,
                                .base_dwell_deg = 12.0,
                                .law = DIALARC_LAW_MODIFIED_SINE};

void hostile_prepare(void)
{
    sim_random r;
    sim_seed(&r, 11);
    job = few_job = kit_job(&r);
    sim_run(&job, &r, &sweep);
    kit_few(&few_job, &r);
    sim_run(&few_job, &r, &few);
    turn_job = kit_pump(1.0);
    sim_run(&turn_job, &r, &turn);
    pluck_simulate(&pluck_clear, PLUCK_CLEAR_N, recording);
    char *end = sweeps_text + sprintf(sweeps_text, "sweep,crank_deg,dial_mm\n");
    locale_t before = kit_point();
    for (size_t i = 0; i < sweep.n; i++)
        end += sprintf(end, "\"s, 1\",%.3f,%.3f\n", sweep.crank_deg[i], sweep.dial_mm[i]);
    kit_no_point(before);
}

void hostile_note(hostile_notes *notes, double number)
{
    if (notes->n < HOSTILE_MOST)
        notes->number[notes->n++] = number;
}

static void note_all(hostile_notes *notes, size_t n, const double *x)
{
    for (size_t i = 0; i < n; i++)
        hostile_note(notes, x[i]);
}

/* --- from table to verdict --------------------------------------------------- */

/* A step and its words; 0 after the last one. */
static int note_step(hostile_notes *notes, const dialarc_setup *setup,
                     const dialarc_step *step)
{
    char text[DIALARC_STEP_SIZE] = "";
    double sum = 0.0;
    if (step->code == DIALARC_STEP_NONE)
        return 0;
    hostile_note(notes, step->code);
    hostile_note(notes, dialarc_step_text(setup, step, text, sizeof text, NULL));
    for (size_t i = 0; text[i]; i++)
        sum += (double)(i + 1) * text[i];
    hostile_note(notes, sum);
    return 1;
}

static void note_timing(hostile_notes *notes, const dialarc_setup *setup,
                        dialarc_status status, const dialarc_timing *t)
{
    dialarc_decision d;
    hostile_note(notes, status);
    note_all(notes, offsetof(dialarc_timing, law) / sizeof(double), &t->lift_mm);
    hostile_note(notes, t->findings.present);
    hostile_note(notes, dialarc_decision_judge(setup, t, &d));
    hostile_note(notes, d.probability_in);
    hostile_note(notes, d.turn_pump_deg);
    hostile_note(notes, d.aim_mm);
    char row[DIALARC_RESULT_SIZE];
    hostile_note(notes, dialarc_result_format("a name", t, &d, row, sizeof row, NULL));
    size_t used = strlen(notes->text);
    snprintf(notes->text + used, sizeof notes->text - used, "%s", row);
    dialarc_step step;
    for (size_t k = 0; dialarc_next_step(setup, t, &d, k, &step) == DIALARC_OK &&
                       note_step(notes, setup, &step);
         k++)
        ;
}

static void estimate(hostile_notes *notes, const dialarc_setup *setup,
                     const dialarc_sweep *s)
{
    dialarc_timing t = {0};
    dialarc_workspace *w = dialarc_workspace_new();
    dialarc_status status = dialarc_timing_estimate(w, setup, s, NULL, &t);
    note_timing(notes, setup, status, &t);
    dialarc_workspace_free(w);
}

static dialarc_setup setup_of(const sim_job *j, int known)
{
    dialarc_setup setup = kit_setup(j, known);
    setup.lift_low_mm = 0.85;
    setup.lift_high_mm = 0.95;
    setup.sprocket_radius_mm = 50.0;
    return setup;
}

/* What a sweep tells of the errors with which it was read. */
static void archive(hostile_notes *notes, const dialarc_setup *setup,
                    const dialarc_sweep *s)
{
    dialarc_workspace *w = dialarc_workspace_new();
    dialarc_archive *kept = NULL;
    dialarc_reading_errors e = {0};
    hostile_note(notes, dialarc_archive_new(&kept));
    hostile_note(notes, dialarc_archive_add(kept, w, setup, s));
    hostile_note(notes, dialarc_archive_errors(kept, &e));
    hostile_note(notes, e.dial_sd_mm);
    hostile_note(notes, e.dial_sd_high_mm);
    hostile_note(notes, e.angle_sd_deg);
    dialarc_archive_free(kept);
    dialarc_workspace_free(w);
}

static void known(hostile_notes *notes)
{
    dialarc_setup setup = setup_of(&job, 1);
    dialarc_sweep s = kit_sweep(&sweep);
    estimate(notes, &setup, &s);
    archive(notes, &setup, &s);
    setup = setup_of(&few_job, 1);
    s = kit_sweep(&few);
    estimate(notes, &setup, &s);
}

/* What a sweep has taught about its learnt, or that it has taught nothing. */
static void note_cam(hostile_notes *notes, const dialarc_setup *setup,
                     const dialarc_sweep *s)
{
    dialarc_learned_cam *learnt = NULL;
    dialarc_timing t;
    double pump_deg[30], lift_mm[30], with, against, sd;
    dialarc_workspace *w = dialarc_workspace_new();
    hostile_note(notes, dialarc_learned_cam_new(w, setup, s, &learnt));
    dialarc_workspace_free(w);
    if (!learnt)
        return;
    hostile_note(notes, dialarc_learned_cam_lobe(learnt, 30, pump_deg, lift_mm));
    note_all(notes, 30, lift_mm);
    hostile_note(notes, dialarc_learned_cam_share(learnt, &with, &against));
    hostile_note(notes, with);
    hostile_note(notes, dialarc_learned_cam_sd(learnt, &sd));
    hostile_note(notes, sd);
    hostile_note(notes, dialarc_learned_cam_timing(learnt, &t));
    hostile_note(notes, t.lift_mm);
    dialarc_learned_cam_free(learnt);
}

static void learned(hostile_notes *notes)
{
    dialarc_setup setup = setup_of(&job, 0);
    dialarc_sweep s = kit_sweep(&sweep);
    estimate(notes, &setup, &s);
    note_cam(notes, &setup, &s);
    setup = setup_of(&job, 1);
    note_cam(notes, &setup, &s);
}

/* A setup that does not fit, so that causes are looked for. */
static void mistaken(hostile_notes *notes)
{
    dialarc_setup setup = setup_of(&job, 1);
    dialarc_sweep s = kit_sweep(&sweep);
    setup.rise_deg *= 0.8;
    estimate(notes, &setup, &s);
    setup = dialarc_setup_unknown(job.cam.lobes + 1);
    estimate(notes, &setup, &s);
}

static void whole_turn(hostile_notes *notes)
{
    for (int k = 0; k < 2; k++) {
        dialarc_setup setup = kit_setup(&turn_job, k);
        dialarc_sweep s = kit_sweep(&turn);
        dialarc_workspace *w = dialarc_workspace_new();
        dialarc_lobes l = {0};
        hostile_note(notes, dialarc_lobes_estimate(w, &setup, &s, NULL, &l));
        for (int i = 0; i < l.lobes; i++)
            note_all(notes, 6, &l.lobe[i].lift_mm);
        hostile_note(notes, l.run_out_mm);
        hostile_note(notes, l.scatter_crank_deg);
        dialarc_workspace_free(w);
    }
}

/* A batch of sweeps from a table, by two threads. */
static int take(void *context, const dialarc_streamed *s)
{
    note_timing(context, &s->record->setup, s->result->status, &s->result->timing);
    return 0;
}

/* A cams table as it is read, and as it is written. */
static void cams_table(hostile_notes *notes)
{
    kit_source source = kit_text("cam,pump_deg,lift_mm,period_deg,cam_sd_mm\n"
                                 "a,0,0.0125,90,0.0021\na,30.1,2.2,90,2.1e-3\n"
                                 "a,59.9,1.3e-1,90,0.0021\n");
    dialarc_cams *read = NULL;
    char rows[3 * DIALARC_CAM_ROW_SIZE];
    size_t length = 0;
    hostile_note(notes, dialarc_cams_read(kit_read, &source, &read, NULL));
    const dialarc_cam_record *c = dialarc_cams_get(read, 0);
    dialarc_cam_motion m = {0};
    note_all(notes, c->n, c->lift_mm);
    hostile_note(notes, dialarc_camtable_motion(c->table, 12.5, &m));
    note_all(notes, 3, &m.lift_mm);
    hostile_note(notes,
                 dialarc_cam_format(c->name, c->n, c->pump_deg, c->lift_mm, c->period_deg,
                                    c->cam_sd_mm, rows, sizeof rows, &length));
    dialarc_cams_free(read);
}

/* The calibration of the dial that the setups name. */
static void dials_table(hostile_notes *notes, dialarc_setups *setups)
{
    kit_source source = kit_text("dial,shown_mm,true_mm,u_mm,calibrated_on\n"
                                 "D 7,0,0,0.0008,2026-01-12\nD 7,9.5,9.5021,8e-4,\n");
    dialarc_dials *dials = NULL;
    double low = 0.0, high = 0.0, u = 0.0;
    hostile_note(notes, dialarc_dials_read(kit_read, &source, &dials, NULL));
    hostile_note(notes, dialarc_setups_use_dials(setups, dials, NULL));
    for (size_t i = 0; i < dialarc_dials_count(dials); i++) {
        size_t which = 9;
        double shown = 0.0, really = 0.0;
        dialarc_dialcal *share = NULL;
        hostile_note(notes,
                     dialarc_dials_find(dials, dialarc_dials_name(dials, i), &which));
        hostile_note(notes, (double)which);
        hostile_note(notes, (double)strlen(dialarc_dials_calibrated_on(dials, i)));
        hostile_note(notes, (double)strlen(dialarc_dials_certificate(dials, i)));
        hostile_note(notes, dialarc_dials_share(dials, i, &share));
        hostile_note(notes, (double)dialarc_dialcal_count(share));
        hostile_note(notes, dialarc_dialcal_point(share, 1, &shown, &really));
        hostile_note(notes, really);
        dialarc_dialcal *again = NULL;
        hostile_note(notes, dialarc_dialcal_share(share, &again));
        dialarc_dialcal_free(share);
        dialarc_dialcal_free(again);
    }
    dialarc_dials_free(dials);
    hostile_note(notes,
                 dialarc_dialcal_range(dialarc_setups_get(setups, 0)->dial_calibration,
                                       &low, &high, &u));
    hostile_note(notes, high);
    hostile_note(notes, u);
}

/* A table whose columns the host names. */
static void rows_table(hostile_notes *notes)
{
    kit_source source = kit_text("way;block_mm\nup;1,5\n;\xe2\x88\x92"
                                 "2\n");
    dialarc_rows *rows = NULL;
    double block = 0.0;
    hostile_note(notes,
                 dialarc_rows_read(kit_read, &source, "block_mm! way", &rows, NULL));
    hostile_note(notes, dialarc_rows_number(rows, 1, "block_mm", &block));
    hostile_note(notes, block);
    hostile_note(notes, (double)strlen(dialarc_rows_text(rows, 0, "way")));
    hostile_note(notes, (double)dialarc_rows_line(rows, 1));
    dialarc_rows_free(rows);
}

/* A sweep that knows little, pooled with itself and with one far off. */
static void looks(hostile_notes *notes, const dialarc_setup *setup)
{
    dialarc_timing timing = {.lift_mm = 0.86,
                             .lift_u_mm = 0.02,
                             .budget = {.readings_mm = 0.002, .tdc_mm = 0.01},
                             .dial_hysteresis_mm = DIALARC_UNKNOWN,
                             .dial_hysteresis_u_mm = DIALARC_UNKNOWN};
    dialarc_look look[3];
    dialarc_joint joint = {0};
    dialarc_decision decision = {0};
    hostile_note(notes, dialarc_joint_look(&timing, &look[0]));
    look[1] = look[2] = look[0];
    look[2].lift_mm = 9.0;
    for (size_t n = 0; n <= 3; n++) {
        hostile_note(notes, dialarc_joint_assess(setup, n, look, &joint));
        hostile_note(notes, joint.lift_u_mm);
        hostile_note(notes, joint.probability_in);
        hostile_note(notes, dialarc_joint_timing(&timing, &joint, &timing));
        hostile_note(notes, dialarc_joint_judge(setup, &timing, &joint, &decision));
        hostile_note(notes, decision.aim_mm);
    }
}

static void lifts_table(hostile_notes *notes)
{
    kit_source source = kit_text("sweep,setup,hand,lift_mm\na,e1,left,0.9\n"
                                 "b,e1,right,9.1e-1\nc,e2,left,\n");
    dialarc_lifts *lifts = NULL;
    hostile_note(notes, dialarc_lifts_read(kit_read, &source, &lifts, NULL));
    for (size_t i = 0; i < dialarc_lifts_count(lifts); i++) {
        dialarc_gauge_lift lift = {0};
        hostile_note(notes, dialarc_lifts_get(lifts, i, &lift));
        hostile_note(notes, lift.lift_mm);
        hostile_note(notes, (double)strlen(dialarc_lifts_sweep(lifts, i)));
        hostile_note(notes, (double)strlen(dialarc_lifts_setup(lifts, i)));
        hostile_note(notes, (double)strlen(dialarc_lifts_hand(lifts, i)));
    }
    dialarc_lifts_free(lifts);
}

static void tables(hostile_notes *notes)
{
    static const char setups_text[] =
        "setup,lobes,lift_low_mm,lift_high_mm,cam_law,rise_deg,top_dwell_deg,"
        "base_dwell_deg,dial,dial_error_mm,dial_preload_mm,turned\n"
        "e1,4,0.85,0.9,harmonic,38.25,1e0,12.125,D 7,0.003,1.5,body\n";
    kit_source source = kit_text(setups_text);
    dialarc_setups *setups = NULL;
    hostile_note(notes, dialarc_setups_read(kit_read, &source, &setups, NULL));
    note_all(notes, 3, &dialarc_setups_get(setups, 0)->crank_per_pump);
    hostile_note(notes, (double)strlen(dialarc_setups_dial(setups, 0)));
    dials_table(notes, setups);
    lifts_table(notes);
    rows_table(notes);
    source = kit_text(sweeps_text);
    hostile_note(notes,
                 dialarc_stream_assess(kit_read, &source, setups, 2, take, notes, NULL));
    source = kit_text("job,round,minimum_mm,tdc_mm,state\nj,1,0.01,0.853,loose\n"
                      "j,1,0,0.861,tight\nj,2,0,0.9,loose\n");
    dialarc_jobs *jobs = NULL;
    dialarc_plan plan = {0};
    hostile_note(notes, dialarc_jobs_read(kit_read, &source, setups, &jobs, NULL));
    cams_table(notes);
    const dialarc_job *j = dialarc_jobs_get(jobs, 0);
    hostile_note(notes, dialarc_plan_rounds(&j->setup, j->n, j->round, &plan));
    hostile_note(notes, plan.lift_mm);
    hostile_note(notes, plan.decision.probability_in);
    hostile_note(notes, plan.decision.aim_mm);
    dialarc_step step;
    for (size_t k = 0;
         dialarc_next_round_step(&j->setup, &plan, k, &step) == DIALARC_OK &&
         note_step(notes, &j->setup, &step);
         k++)
        ;
    looks(notes, &j->setup);
    dialarc_jobs_free(jobs);
    dialarc_setups_free(setups);
}

/* --- sums and geometry ------------------------------------------------------- */

static void cams(hostile_notes *notes)
{
    double angle[40], y[40], period, low, high;
    for (int i = 0; i < 40; i++)
        angle[i] = 9.7 * i - 60.0;
    for (int law = 1; law < DIALARC_LAW_COUNT; law++) {
        dialarc_cam c = cam;
        dialarc_camtable *t = NULL, *shared = NULL;
        c.law = (dialarc_law)law;
        hostile_note(notes, dialarc_cam_lift_array(&c, 40, angle, y));
        note_all(notes, 40, y);
        hostile_note(notes, dialarc_cam_rate_array(&c, 40, angle, y));
        note_all(notes, 10, y);
        hostile_note(notes, dialarc_cam_angle_at_lift(&c, 0.87, DIALARC_FLANK_RISING, y));
        hostile_note(notes,
                     dialarc_cam_angle_at_lift(&c, 0.01, DIALARC_FLANK_FALLING, y + 1));
        hostile_note(notes, dialarc_camtable_from_cam(&c, 90, &t));
        hostile_note(notes, dialarc_camtable_range(t, &period, &low, &high));
        hostile_note(notes, dialarc_camtable_angle_at_lift(t, 1.0, DIALARC_FLANK_FALLING,
                                                           7.0, y + 2));
        note_all(notes, 3, y);
        hostile_note(notes, high);
        hostile_note(notes, dialarc_camtable_share(t, &shared));
        dialarc_camtable_free(shared);
        dialarc_camtable_free(t);
    }
}

static void trust(hostile_notes *notes)
{
    const double sensitivity[] = {1.0, 0.04}, sd[] = {0.003, 0.25};
    double x;
    hostile_note(notes, dialarc_conformity_probability(0.87, 0.01, 0.85, 0.9, &x));
    hostile_note(notes, x);
    hostile_note(notes, dialarc_conformity_probability(8.7, 0.001, 0.85, 0.9, &x));
    hostile_note(notes, x);
    hostile_note(notes, dialarc_conformity_z(0.975, &x));
    hostile_note(notes, x);
    hostile_note(notes, dialarc_uncertainty_combine(2, sensitivity, sd, NULL, &x));
    hostile_note(notes, x);
    hostile_note(notes, dialarc_uncertainty_t_quantile(0.95, 7.5, &x));
    hostile_note(notes, x);
    hostile_note(notes, dialarc_uncertainty_coverage_factor(0.95, 0.0, &x));
    hostile_note(notes, x);
}

/* A sweep while it is taken. */
static void live(hostile_notes *notes)
{
    static const char *const lines[] = {"-60 0,02\r\n", "-40 0.0", "1\n", "-20 0.2 mm\n",
                                        "turn\n",       "back\n",  "?\n"};
    const dialarc_setup setup = setup_of(&job, 1);
    const dialarc_reach reach = {-90.0, 20.0, 2.0, 1};
    const dialarc_taken added = {-50.0, 0.01, DIALARC_DIRECTION_WITH, 0.0};
    dialarc_live *taken = NULL;
    dialarc_timing timing;
    dialarc_next next;
    dialarc_taken one = {0};
    hostile_note(notes, dialarc_live_new(&setup, &reach, &taken));
    hostile_note(notes, dialarc_live_add(taken, &added));
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        dialarc_heard heard = DIALARC_HEARD_WAITING;
        hostile_note(notes, dialarc_live_hear(taken, lines[i], (double)i, &heard));
        hostile_note(notes, heard);
    }
    hostile_note(notes, (double)dialarc_live_count(taken));
    hostile_note(notes, dialarc_live_reading(taken, 1, &one));
    hostile_note(notes, one.dial_mm);
    hostile_note(notes, (double)strlen(dialarc_live_line(taken, 1)));
    hostile_note(notes, dialarc_live_timing(taken, &timing));
    hostile_note(notes, timing.lift_mm);
    hostile_note(notes, dialarc_live_next(taken, &next));
    hostile_note(notes, next.crank_deg);
    dialarc_live_free(taken);
}

static void questions(hostile_notes *notes)
{
    dialarc_setup setup = setup_of(&job, 1);
    dialarc_whatif w;
    dialarc_whatif_result r = {0};
    dialarc_outcome slope[DIALARC_WHATIF_COUNT] = {0};
    setup.cam_lift_mm = job.cam.lift_mm;
    hostile_note(notes, dialarc_whatif_from_setup(&setup, &w));
    hostile_note(notes, dialarc_whatif_from_cam(&setup, &w.cam, &w));
    hostile_note(notes, dialarc_whatif_propagate(&w, 2000, 1, &r));
    hostile_note(notes, dialarc_whatif_sensitivity(&w, slope));
    hostile_note(notes, slope[DIALARC_WHATIF_READING].lift_mm);
    hostile_note(notes, r.value.lift_mm);
    hostile_note(notes, r.sd.advance_crank_deg);
    hostile_note(notes, r.lift_mm.sd);
    hostile_note(notes, r.advance_crank_deg.sd);
}

static void pluck(hostile_notes *notes)
{
    dialarc_pluck p = {0};
    double x;
    hostile_note(notes, dialarc_pluck_frequency(PLUCK_CLEAR_N, recording, PLUCK_CLEAR_N,
                                                20.0, 600.0, &p));
    note_all(notes, 7, &p.frequency_hz);
    const dialarc_span span = {0.12, 160.0, 900.0, 0.001, 0.5, 90.0, 0.0, 0.0};
    hostile_note(notes,
                 dialarc_pluck_span_frequency(PLUCK_CLEAR_N, recording, PLUCK_CLEAR_N,
                                              20.0, 600.0, &span, &p));
    note_all(notes, 7, &p.frequency_hz);
    hostile_note(notes, dialarc_belt_span_length(300.0, 100.0, 60.0, 0, &x));
    hostile_note(notes, x);
}

static void minima(hostile_notes *notes)
{
    double angle[9], dial[9];
    dialarc_minimum m = {0};
    for (int i = 0; i < 9; i++) {
        angle[i] = 2.0 * i - 8.0;
        dial[i] = 0.01 * floor(0.1 * angle[i] * angle[i] + 0.5);
    }
    hostile_note(notes, dialarc_minimum_fit(9, angle, dial, NULL, &m));
    note_all(notes, 4, &m.angle_deg);
}

/* A dial reading of a spoilt sweep; `level` is the reading a quarter of the way. */
static double spoilt_mm(int way, sim_random *r, size_t i, double mm, double level)
{
    switch (way) {
    case 0: /* nothing but noise */
        return sim_uniform(r, -1.0, 3.0);
    case 1: /* a dial that is stuck */
        return 0.5;
    case 2: /* clipped from below */
        return fmax(mm, level);
    case 3: /* clipped from above */
        return fmin(mm, level);
    case 4: /* in nanometres */
        return 1e6 * mm;
    case 5: /* to and fro */
        return (double)(i % 2);
    case 6: /* hardly graduated */
        return 0.5 * floor(2.0 * mm);
    case 7: /* rising without end */
        return 0.01 * (double)i;
    case 8: /* turns of the pointer counted at random */
        return mm + sim_integer(r, -2, 2);
    default:
        return mm;
    }
}

void hostile_spoil(int way, sim_random *r, sim_sweep *s)
{
    const double level = s->dial_mm[s->n / 4];
    for (size_t i = 0; i < s->n; i++) {
        s->dial_mm[i] = spoilt_mm(way, r, i, s->dial_mm[i], level);
        if (way == 9)
            s->crank_deg[i] = sim_uniform(r, -90.0, 90.0);
        else if (way == 10)
            s->crank_deg[i] = 12.5;
    }
    if (way == 11)
        s->n = 2;
}

const hostile_task hostile_task_list[] = {
    {"known", known},       {"learned", learned},
    {"mistaken", mistaken}, {"whole turn", whole_turn},
    {"tables", tables},     {"cams", cams},
    {"trust", trust},       {"questions", questions},
    {"pluck", pluck},       {"minima", minima},
    {"sums", hostile_sums}, {"edges", hostile_edges},
    {"live", live},
};
const int hostile_tasks = (int)(sizeof hostile_task_list / sizeof *hostile_task_list);

void hostile_do(int task, hostile_notes *notes)
{
    notes->n = 0;
    notes->text[0] = '\0';
    hostile_task_list[task].work(notes);
}

void hostile_check_same(const hostile_notes *a, const hostile_notes *b, const char *task)
{
    ck_assert_uint_eq(a->n, b->n);
    for (size_t i = 0; i < a->n; i++)
        ck_assert_msg(memcmp(&a->number[i], &b->number[i], sizeof *a->number) == 0 ||
                          (isnan(a->number[i]) && isnan(b->number[i])),
                      "%s: number %zu: %a, then %a", task, i, a->number[i], b->number[i]);
    ck_assert_str_eq(a->text, b->text);
}
