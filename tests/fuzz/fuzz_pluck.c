/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Any recording: raw numbers, 16-bit samples, or a simulated pluck with faults. */
#include <dialarc/pluck.h>

#include "fuzz_kit.h"
#include "kit/pluck_sim.h"

const char fuzz_name[] = "pluck";

#define MOST 4096

/* Fills the recording; returns how many samples it has. */
static size_t any_sound(fuzz_bytes *b, double *sample)
{
    size_t n = 0, kind = fuzz_byte(b) % 4;
    if (kind >= 2) {
        pluck_sim sim = {.seed = fuzz_byte(b), .rate_hz = 2000.0, .seconds = 1.0};
        sim.onset_s = fuzz_byte(b) / 256.0;
        sim.hz = 2.0 * fuzz_byte(b);
        sim.decay_s = 0.01 + fuzz_byte(b) / 256.0;
        sim.place = 0.3;
        sim.snr_db = fuzz_byte(b) / 4.0 - 20.0;
        sim.noise = (pluck_noise)(fuzz_byte(b) % 3);
        sim.hum = fuzz_byte(b) / 100.0;
        sim.mains_hz = fuzz_byte(b) & 1 ? 50.0 : 60.0;
        n = 2000;
        pluck_simulate(&sim, n, sample);
        while (b->size > 4) { /* faults at places of their own */
            size_t at = fuzz_word(b) % n;
            sample[at] = fuzz_number(b);
        }
    } else if (kind == 1) {
        double loud = pow(10.0, fuzz_byte(b) - 128.0);
        while (b->size > 1 && n < MOST)
            sample[n++] = loud * ((double)fuzz_word(b) - 32768.0);
    } else {
        while (b->size > 0 && n < MOST)
            sample[n++] = fuzz_number(b);
    }
    return n;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static double sample[MOST];
    fuzz_bytes b = {data, size};
    double rate = fuzz_field(&b, 100.0, 8000.0), low = fuzz_field(&b, 10.0, 100.0);
    double high = fuzz_field(&b, 50.0, 800.0);
    rate = isnan(rate) ? 2000.0 : rate;
    low = isnan(low) ? DIALARC_PLUCK_LOW_HZ : low;
    high = isnan(high) ? DIALARC_PLUCK_HIGH_HZ : high;
    size_t n = any_sound(&b, sample);
    dialarc_pluck p = {.frequency_hz = -7.0};
    dialarc_status status = dialarc_pluck_frequency(n, sample, rate, low, high, &p);
    FUZZ_CHECK(status <= DIALARC_OK);
    if (status != DIALARC_OK) {
        FUZZ_CHECK(p.frequency_hz == -7.0);
        return 0;
    }
    FUZZ_CHECK(p.frequency_hz >= 0.9 * low && p.frequency_hz <= 1.1 * high);
    FUZZ_CHECK(p.frequency_sd_hz >= 0.0 && p.frequency_u_hz >= p.frequency_sd_hz);
    FUZZ_CHECK(isfinite(p.frequency_u_hz) && isfinite(p.snr_db) && p.decay_s > 0.0);
    FUZZ_CHECK(p.onset_s >= 0.0 && p.onset_s <= (double)n / rate && p.partials >= 1);
    return 0;
}
