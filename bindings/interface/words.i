/* SPDX-License-Identifier: GPL-3.0-or-later
 * Words and numbers: version, status codes, units, angles. */
DIALARC_STATUS(dialarc_status, Status)

DIALARC_EACH_ALONE(dialarc_angle_wrap_array)
DIALARC_EACH_ALONE(dialarc_angle_wrap_signed_array)
DIALARC_EACH_ALONE(dialarc_angle_pump_from_crank)
DIALARC_EACH_ALONE(dialarc_angle_crank_from_pump)

%include <dialarc/api.h>
%include <dialarc/status.h>
DIALARC_ANY_NUMBER
%include <dialarc/units.h>
%include <dialarc/older_units.h>
DIALARC_FINITE_NUMBER
%include <dialarc/angle.h>
