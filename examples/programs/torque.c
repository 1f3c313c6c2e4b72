/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What to set a wrench to that has an adapter, in the unit of the literature.
 */
#include <dialarc.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "complain.h"
#include "output.h"
#include "page.h"

typedef struct wishes {
    const char *unit, *out;
    double wrench_mm, adapter_mm, angle_deg, percent;
} wishes;

/* Units of torque as they are asked for and written. */
static const struct {
    const char *word, *shown;
    double nm;
} units[] = {
    {"nm", "N m", 1.0},
    {"kgf-m", "kgf m", DIALARC_NM_PER_KGF_M},
    {"kgf-cm", "kgf cm", DIALARC_NM_PER_KGF_CM},
    {"lbf-ft", "lbf ft", DIALARC_NM_PER_LBF_FT},
    {"lbf-in", "lbf in", DIALARC_NM_PER_LBF_IN},
};
enum { UNITS = sizeof units / sizeof units[0] };

typedef struct job {
    const char *who;
    const wishes *wishes;
    int unit;
    double wanted;
    dialarc_torque set;
} job;

static int find_unit(const char *who, const char *word, int *unit)
{
    for (*unit = 0; *unit < UNITS; (*unit)++)
        if (strcmp(word, units[*unit].word) == 0)
            return DONE;
    return complain(who, word, "the units are nm, kgf-m, kgf-cm, lbf-ft and lbf-in");
}

static int fill(output *out, void *context)
{
    const job *j = context;
    double nm = units[j->unit].nm;
    const char *unit = units[j->unit].shown;
    page_head(out->file, "TORQUE, %g %s at the fastener", j->wanted, unit);
    page_say(out->file, "  Wrench        ", "set it to %.4g %s (%.1f N m)",
             j->set.torque_nm / nm, unit, j->set.torque_nm);
    page_say(
        out->file, "  Then          ",
        "95 times in 100 the setting that would give %g %s is within %.2g %s of that",
        j->wanted, unit, j->set.torque_u_nm / nm, unit);
    page_say(out->file, "  Measured      ",
             "wrench %.0f mm from its drive to the middle of the grip, adapter %.0f mm "
             "from the drive to the fastener, %.0f degrees off straight; each length to "
             "1 mm, the angle to 2 degrees (one standard deviation)",
             j->wishes->wrench_mm, j->wishes->adapter_mm, j->wishes->angle_deg);
    page_say(out->file, "  Caution       ",
             "Pull at the middle of the grip and nowhere else: with an adapter the place "
             "of the hand counts. The maker's torque, and his order of tightening, come "
             "first.");
    return DONE;
}

static int run(const char *who, const void *wished, char **operand)
{
    const wishes *w = wished;
    job j = {.who = who, .wishes = w};
    if (!command_number(operand[0], &j.wanted))
        return complain(who, operand[0], "a torque is wanted, with a decimal point");
    if (find_unit(who, w->unit, &j.unit) != DONE)
        return FAILED;
    if (isnan(w->wrench_mm))
        return complain(who, "--wrench", "the length of the wrench is wanted");
    const dialarc_adapter adapter = {.wrench_mm = w->wrench_mm,
                                     .adapter_mm = w->adapter_mm,
                                     .angle_deg = w->angle_deg,
                                     .wrench_sd_mm = 1.0,
                                     .adapter_sd_mm = w->adapter_mm > 0.0 ? 1.0 : 0.0,
                                     .angle_sd_deg = w->adapter_mm > 0.0 ? 2.0 : 0.0};
    dialarc_status status = dialarc_torque_setting(&adapter, j.wanted * units[j.unit].nm,
                                                   0.01 * w->percent, &j.set);
    return status == DIALARC_OK ? output_write(who, w->out, fill, &j)
                                : complain(who, operand[0], dialarc_status_text(status));
}

/* 4 %: the permissible deviation of ISO 6789 for most wrenches (from memory), as limits
 * of a rectangular distribution: 2.3 %. */
static const wishes defaults = {
    .unit = "nm", .wrench_mm = DIALARC_UNKNOWN, .percent = 2.3};

static const command_operand operands[] = {
    {"TORQUE", "that the literature wants at the fastener"},
    {0},
};

static const command_option options[] = {
    {"unit", "UNIT", OPTION_TEXT, offsetof(wishes, unit), 0, 0,
     "nm, kgf-m, kgf-cm, lbf-ft or lbf-in (nm if not given)"},
    {"wrench", "MM", OPTION_NUMBER, offsetof(wishes, wrench_mm), 0, 0,
     "from the wrench's drive to the middle of the grip"},
    {"adapter", "MM", OPTION_NUMBER, offsetof(wishes, adapter_mm), 0, 0,
     "from the drive to the fastener (0 if not given)"},
    {"angle", "DEG", OPTION_NUMBER, offsetof(wishes, angle_deg), 0, 0,
     "0: adapter straight on; 90: square to the wrench (0 if not given)"},
    {"percent", "SD", OPTION_NUMBER, offsetof(wishes, percent), 0, 0,
     "standard uncertainty of the wrench, % (2.3 if not given)"},
    COMMAND_OUT(wishes),
    {0},
};

const command torque_command = {
    .name = "torque",
    .brief = "Find what to set a torque wrench with an adapter to.",
    .operand = operands,
    .option = options,
    .statuses = "0 done, 2 nothing was written.",
    .size = sizeof(wishes),
    .defaults = &defaults,
    .run = run,
};
