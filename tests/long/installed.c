/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A client of the installed library, built through pkg-config by installed.sh. */
#include <dialarc.h>
#include <stdio.h>
#include <string.h>

int main(void)
{
    dialarc_setup setup = dialarc_setup_unknown(4);
    double pump_deg = 0.0;
    const double crank_deg = 9.0;
    if (dialarc_setup_check(&setup) != DIALARC_OK ||
        dialarc_angle_pump_from_crank(1, &crank_deg, 2.0, &pump_deg) != DIALARC_OK ||
        pump_deg < 4.5 || pump_deg > 4.5)
        return 1;
    printf("dialarc %s\n", dialarc_version());
    return strcmp(dialarc_version(), EXPECTED_VERSION) != 0;
}
