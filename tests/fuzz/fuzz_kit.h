/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What the fuzz targets share. A target turns any bytes into calls of the library and
 * stops the program when a promise is broken; the engine (clang's libFuzzer, or replay.c)
 * brings the bytes.
 */
#ifndef FUZZ_KIT_H
#define FUZZ_KIT_H

#include <dialarc/setup.h>
#include <math.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The target's name: that of its folder in corpus/. */
extern const char fuzz_name[];

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* A promise of the library; when it is broken the engine keeps the bytes. */
#define FUZZ_CHECK(promise)                                                              \
    do {                                                                                 \
        if (!(promise)) {                                                                \
            fprintf(stderr, "%s:%d: broken: %s\n", __FILE__, __LINE__, #promise);        \
            abort();                                                                     \
        }                                                                                \
    } while (0)

/* The bytes not yet used. */
typedef struct fuzz_bytes {
    const uint8_t *data;
    size_t size;
} fuzz_bytes;

/* The next byte, 0 after the last. */
static inline unsigned fuzz_byte(fuzz_bytes *b)
{
    if (b->size == 0)
        return 0;
    b->size--;
    return *b->data++;
}

static inline unsigned fuzz_word(fuzz_bytes *b)
{
    unsigned high = fuzz_byte(b);
    return 256 * high + fuzz_byte(b);
}

/*
 * A number. The first byte chooses: special values, any 64 bits, or (most bytes) -327.68
 * to 327.67 in steps of 0.01 plus 1/100 of a step for each count of the first byte.
 */
static inline double fuzz_number(fuzz_bytes *b)
{
    static const double special[16] = {0.0,
                                       -0.0,
                                       1.0,
                                       -1.0,
                                       (double)NAN,
                                       (double)INFINITY,
                                       -(double)INFINITY,
                                       1e308,
                                       -1e308,
                                       5e-324,
                                       1e-12,
                                       360.0,
                                       1e16,
                                       1e-300,
                                       90.0,
                                       1e9};
    unsigned first = fuzz_byte(b);
    if (first < 16)
        return special[first];
    if (first < 24) {
        uint64_t bits = 0;
        double x;
        for (int k = 0; k < 8; k++)
            bits = bits << 8 | fuzz_byte(b);
        memcpy(&x, &bits, sizeof x);
        return x;
    }
    return ((double)fuzz_word(b) - 32768.0) / 100.0 + (first < 128 ? 0.0 : first * 1e-4);
}

/* A field of a setup: every second one is not known. */
static inline double fuzz_field(fuzz_bytes *b, double low, double high)
{
    unsigned first = fuzz_byte(b);
    if (first < 120)
        return DIALARC_UNKNOWN;
    if (first < 128)
        return fuzz_number(b);
    return low + (high - low) * (double)(first - 128) / 127.0;
}

/* What a setup may say besides. */
static inline void fuzz_instruments(fuzz_bytes *b, dialarc_setup *s)
{
    unsigned words = fuzz_byte(b);
    s->window_at = (dialarc_window_at)(int)(words % 4);
    s->turned = (dialarc_turned)(int)(words / 4 % 4);
    s->turn_back = (dialarc_turn_back)(int)(words / 16 % 4);
    s->firing_tdc = (dialarc_firing_tdc)(int)(words / 64);
    s->window_crank_deg = fuzz_field(b, -30.0, 30.0);
    s->cam_sd_mm = fuzz_field(b, 0.0, 0.02);
    s->rise_sd_deg = fuzz_field(b, 0.0, 2.0);
    s->wheel_error_deg = fuzz_field(b, 0.0, 1.0);
    s->dial_error_mm = fuzz_field(b, 0.0, 0.02);
    s->body_radius_mm = fuzz_field(b, 0.0, 100.0);
}

/* A setup, usable or not: most fields in a sensible range. */
static inline dialarc_setup fuzz_setup(fuzz_bytes *b)
{
    unsigned lobes = fuzz_byte(b);
    dialarc_setup s = dialarc_setup_unknown((int)(lobes % 19) - 1);
    unsigned words = fuzz_byte(b);
    s.crank_per_pump = fuzz_field(b, 0.5, 3.0);
    s.lift_low_mm = fuzz_field(b, 0.0, 1.2);
    s.lift_high_mm = s.lift_low_mm + fuzz_field(b, 0.0, 0.2);
    s.cam_law = (dialarc_law)((int)(words % 13) - 1);
    s.cam_lift_mm = fuzz_field(b, 0.0, 4.0);
    s.rise_deg = fuzz_field(b, 0.0, 90.0);
    s.top_dwell_deg = fuzz_field(b, 0.0, 20.0);
    s.base_dwell_deg = fuzz_field(b, 0.0, 40.0);
    s.angle_sd_deg = fuzz_field(b, 0.0, 1.0);
    s.tdc_sd_deg = fuzz_field(b, 0.0, 1.0);
    s.dial_sd_mm = fuzz_field(b, 0.0, 0.02);
    s.dial_step_mm = fuzz_field(b, 0.0, 0.02);
    s.dial_turn_mm = fuzz_field(b, 0.0, 2.0);
    s.dial_sense = (int)(words / 13 % 4) - 1;
    s.dial_hysteresis_mm = fuzz_field(b, 0.0, 0.02);
    s.sprocket_teeth = (int)(fuzz_byte(b) % 64) - 1;
    s.sprocket_radius_mm = fuzz_field(b, 0.0, 100.0);
    s.rotation = (dialarc_rotation)((int)(words / 52 % 4) - 1);
    if (lobes >= 7 * 19)
        fuzz_instruments(b, &s);
    return s;
}

/* Known or not known, but never infinite. */
static inline int fuzz_sane(double x)
{
    return !isinf(x);
}

#endif
