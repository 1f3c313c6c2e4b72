#include "scrutiny.h"
#include <math.h>
void darc_scrutinise_record(darc_scratch *s, const dialarc_setup *setup,
                            dialarc_timing *t)
{
    (void)s;
    (void)setup;
    (void)t;
}
double darc_scrutinise_fit(darc_scratch *s, const dialarc_setup *setup,
                           const darc_answer *a, dialarc_timing *t)
{
    double n = 0, x = 0;
    for (size_t i = 0; i < s->record.n; i++) {
        n += s->pulls[i].sound;
        x += s->pulls[i].sound * s->pulls[i].score2;
    }
    t->scatter = sqrt(x / n);
    (void)setup;
    (void)a;
    t->readings_used = (size_t)n;
    return 1.0;
}
