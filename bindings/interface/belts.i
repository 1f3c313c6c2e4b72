/* SPDX-License-Identifier: GPL-3.0-or-later
 * Belt and fasteners: tension, the note of a plucked span, torque. */
DIALARC_RECORD(dialarc_span, Span)
DIALARC_RECORD(dialarc_tension, Tension)
DIALARC_RECORD(dialarc_pluck, Pluck)
DIALARC_RECORD(dialarc_adapter, Adapter)
DIALARC_RECORD(dialarc_torque, Torque)

DIALARC_EACH_ALONE(dialarc_belt_tension_from_frequency_array)
DIALARC_UNLOCKED(dialarc_pluck_frequency)
DIALARC_UNLOCKED(dialarc_pluck_span_frequency)
DIALARC_EACH_ALONE(dialarc_torque_setting_array)

%include <dialarc/belt.h>
%include <dialarc/pluck.h>
%include <dialarc/torque.h>
