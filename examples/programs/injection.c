/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * From the static setting to the start of injection over the speeds of the engine.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "commands.h"
#include "complain.h"
#include "csv.h"
#include "engine.h"
#include "output.h"
#include "page.h"

enum { POINTS_MAX = 32, ROWS_MAX = 2000 };

typedef struct wishes {
    const char *cams, *device, *out;
    double prestroke_mm, delay_ms, buildup_deg;
    int step_rpm, csv;
} wishes;

typedef struct sheet {
    const wishes *wishes;
    engine engine;
    double rpm[POINTS_MAX], advance_deg[POINTS_MAX];
    dialarc_injection injection;
    double static_deg[3]; /* low, middle and high in the window */
} sheet;

/* "900:0,3500:9": speeds and crank degrees of the timing device. */
static int read_device(const char *who, const char *text, sheet *s)
{
    size_t n = 0;
    const char *at = text;
    while (*at) {
        char *end;
        double rpm = strtod(at, &end);
        if (n == POINTS_MAX || end == at || *end != ':' || !isfinite(rpm))
            break;
        at = end + 1;
        s->rpm[n] = rpm;
        s->advance_deg[n] = strtod(at, &end);
        if (end == at || (*end && *end != ',') || !isfinite(s->advance_deg[n]))
            break;
        n++;
        at = *end ? end + 1 : end;
    }
    s->injection.n = n;
    s->injection.crank_rpm = s->rpm;
    s->injection.advance_crank_deg = s->advance_deg;
    return *at || n == 0 ? complain(who, text,
                                    "speeds and crank degrees are wanted, such as "
                                    "900:0,3500:9")
                         : DONE;
}

static double start_at(const sheet *s, int which, double rpm)
{
    double start = DIALARC_UNKNOWN; /* the device was tried before */
    dialarc_injection_dynamic(&s->injection, s->static_deg[which], rpm, &start);
    return start;
}

static int fill(output *out, void *job)
{
    const sheet *s = job;
    int csv = s->wishes->csv;
    if (csv) {
        fputs("crank_rpm,start_low_btdc_deg,start_btdc_deg,start_high_btdc_deg\n",
              out->file);
    } else {
        page_head(out->file, "START OF INJECTION, %s", s->engine.name);
        page_say(out->file, "  Static        ",
                 "delivery starts %.2f crank degrees before TDC with the lift in the "
                 "middle of its window, %.2f to %.2f at its ends",
                 s->static_deg[1], s->static_deg[0], s->static_deg[2]);
        fputs("\n  crank, r/min        injection starts, crank degrees before TDC\n"
              "                      set low    in the middle    set high\n",
              out->file);
    }
    for (int row = 0; row * s->wishes->step_rpm <= 5000 && row < ROWS_MAX; row++) {
        int rpm = row * s->wishes->step_rpm;
        fprintf(out->file, csv ? "%d" : "  %12d", rpm);
        for (int i = 0; i < 3; i++)
            fprintf(out->file, csv ? ",%.3f" : "   %12.2f",
                    page_round(start_at(s, i, rpm), csv ? 3 : 2));
        fputc('\n', out->file);
    }
    if (!csv) {
        fputc('\n', out->file);
        page_say(
            out->file, "  Note          ",
            "A strobe shows the sum of setting, device, build-up of the pressure and "
            "delay of the line, not the setting alone.");
    }
    return DONE;
}

static dialarc_status work_out(sheet *s)
{
    const wishes *w = s->wishes;
    const engine *e = &s->engine;
    double tried;
    dialarc_status status = DIALARC_OK;
    s->injection.delay_ms = w->delay_ms;
    s->injection.buildup_crank_deg = w->buildup_deg;
    for (int i = 0; i < 3 && status == DIALARC_OK; i++)
        status = dialarc_delivery_start(&e->cam, e->crank_per_pump, w->prestroke_mm,
                                        e->tdc_mm[i], &s->static_deg[i]);
    return status == DIALARC_OK
               ? dialarc_injection_dynamic(&s->injection, s->static_deg[1], 0.0, &tried)
               : status;
}

static int run(const char *who, const void *wished, char **operand)
{
    sheet s = {.wishes = wished};
    const wishes *w = s.wishes;
    if (w->device && read_device(who, w->device, &s) != DONE)
        return FAILED;
    int result = engine_open(who, operand[0], operand[1], w->cams, NULL, &s.engine);
    dialarc_status status = result == DONE ? work_out(&s) : DIALARC_OK;
    if (status != DIALARC_OK)
        result = complain(who, operand[1], dialarc_status_text(status));
    else if (result == DONE)
        result = output_write(who, w->out, fill, &s);
    engine_close(&s.engine);
    return result;
}

static const wishes defaults = {.step_rpm = 500};

static const command_operand operands[] = {
    {"SETUPS", "table of engines"},
    {"ENGINE", "its name; its window must stand in the table, and its cam unless --cams"},
    {0},
};

static const command_option options[] = {
    {"prestroke", "MM", OPTION_NUMBER, offsetof(wishes, prestroke_mm), 0, 0,
     "lift at which the port closes (0 if not given)"},
    {"delay", "MS", OPTION_NUMBER, offsetof(wishes, delay_ms), 0, 0,
     "delay of the line, milliseconds"},
    {"buildup", "DEG", OPTION_NUMBER, offsetof(wishes, buildup_deg), 0, 0,
     "crank degrees in which the pressure builds up"},
    {"device", "LIST", OPTION_TEXT, offsetof(wishes, device), 0, 0,
     "timing device: speeds, r/min, and crank degrees, such as 900:0,3500:9"},
    {"step", "RPM", OPTION_WHOLE, offsetof(wishes, step_rpm), 10, 5000,
     "from row to row, up to 5000 r/min (500 if not given)"},
    {"cams", "CAMS", OPTION_TEXT, offsetof(wishes, cams), 0, 0,
     "table of learned cams: that called as the engine stands for its own"},
    {"csv", NULL, OPTION_FLAG, offsetof(wishes, csv), 0, 0,
     "a table for other programs instead of a page"},
    COMMAND_OUT(wishes),
    {0},
};

const command injection_command = {
    .name = "injection",
    .brief = "Show when injection starts over the speeds of the engine.",
    .operand = operands,
    .option = options,
    .more = COMMAND_TABLES,
    .statuses = "0 done, 1 cam or window are not known, 2 nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .run = run,
};
