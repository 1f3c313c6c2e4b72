/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <dialarc/api.h>

const char *dialarc_version(void)
{
    return PACKAGE_VERSION;
}
