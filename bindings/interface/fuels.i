/* SPDX-License-Identifier: GPL-3.0-or-later
 * From setting to injection: fuel, line, delivery, injection at speed. */
DIALARC_RECORD(dialarc_fuel, Fuel)
DIALARC_RECORD(dialarc_line, Line)
DIALARC_RECORD(dialarc_plunger, Plunger)
DIALARC_RECORD(dialarc_delivery, Delivery)
DIALARC_BORROWING(dialarc_injection)

DIALARC_EACH_ALONE(dialarc_delivery_rate_array)
DIALARC_EACH_ALONE(dialarc_injection_dynamic_array)

%include <dialarc/fuel.h>
%include <dialarc/line.h>
%include <dialarc/delivery.h>
%include <dialarc/injection.h>
