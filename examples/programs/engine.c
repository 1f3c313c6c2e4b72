/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "engine.h"

#include <math.h>
#include <stddef.h>

#include "complain.h"
#include "tables.h"

/* A four-stroke's, where the table does not say: common practice, no source. */
#define USUAL_RATIO 2.0

/* Form of a stated cam, likewise. */
#define USUAL_CAM_SD_MM 0.003

static dialarc_status use_cams(input *in, void *cams, dialarc_error *error)
{
    return dialarc_cams_read(input_read, in, cams, error);
}

static int take_cam(const char *who, const char *name, engine *e)
{
    size_t index = 0;
    if (dialarc_cams_find(e->cams, name, &index) != DIALARC_OK)
        return complain(who, name, "there is no cam of this name in the table of cams");
    const dialarc_cam_record *record = dialarc_cams_get(e->cams, index);
    dialarc_status status = dialarc_cam_from_table(record->table, &e->cam);
    if (status == DIALARC_OK && e->cam.lobes != e->setup->lobes)
        status = DIALARC_ERR_SEGMENTS;
    e->cam_sd_mm = record->cam_sd_mm;
    return status == DIALARC_OK ? DONE : complain(who, name, dialarc_status_text(status));
}

/* The cam that the table of engines tells. */
static int own_cam(const char *who, engine *e)
{
    dialarc_whatif whatif;
    if (dialarc_whatif_from_setup(e->setup, &whatif) == DIALARC_OK) {
        e->cam = whatif.cam;
        e->cam_sd_mm = isnan(e->setup->cam_sd_mm) ? USUAL_CAM_SD_MM : e->setup->cam_sd_mm;
        return DONE;
    }
    complain(who, e->name,
             "its cam (cam_law, cam_lift_mm, rise_deg) and its window must stand in the "
             "table of engines; --cams takes a learned cam");
    return SOME_UNUSABLE;
}

static int take_window(const char *who, engine *e)
{
    const dialarc_setup *s = e->setup;
    double low = s->lift_low_mm, high = s->lift_high_mm;
    if (isnan(low) || isnan(high)) {
        complain(who, e->name, "its window must stand in the table of engines");
        return SOME_UNUSABLE;
    }
    const double limit[] = {low, 0.5 * (low + high), high};
    double place = isnan(s->window_crank_deg) ? 0.0 : s->window_crank_deg;
    dialarc_status status = dialarc_timing_shift_lift(&e->cam, e->crank_per_pump, -place,
                                                      3, limit, e->tdc_mm);
    for (int i = 0; i < 3 && status == DIALARC_OK; i++) {
        e->limit_mm[i] = limit[i];
        status = dialarc_cam_angle_at_lift(&e->cam, e->tdc_mm[i], DIALARC_FLANK_RISING,
                                           &e->tdc_deg[i]);
    }
    if (status == DIALARC_OK)
        return DONE;
    complain(who, e->name,
             "window and TDC do not both lie on the rise of its cam: has it that lift?");
    return SOME_UNUSABLE;
}

int engine_open(const char *who, const char *setups, const char *name, const char *cams,
                const char *cam, engine *e)
{
    size_t index = 0;
    *e = (engine){.name = name};
    if (cam && !cams)
        return complain(who, cam, "--cam chooses from a table, which --cams names");
    int result = tables_setups(who, setups, NULL, &e->setups);
    if (result != DONE)
        return result;
    if (dialarc_setups_find(e->setups, name, &index) != DIALARC_OK)
        return complain(who, name, "there is no engine of this name in the table");
    e->setup = dialarc_setups_get(e->setups, index);
    e->crank_per_pump =
        isnan(e->setup->crank_per_pump) ? USUAL_RATIO : e->setup->crank_per_pump;
    if (cams)
        result = tables_read(who, cams, use_cams, &e->cams);
    if (result == DONE)
        result = cams ? take_cam(who, cam ? cam : name, e) : own_cam(who, e);
    return result == DONE ? take_window(who, e) : result;
}

void engine_close(engine *e)
{
    dialarc_cams_free(e->cams);
    dialarc_setups_free(e->setups);
}
