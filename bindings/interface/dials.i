/* SPDX-License-Identifier: GPL-3.0-or-later
 * Play and the dial: hysteresis, readings, calibration, permissible errors. */
DIALARC_ENUM(dialarc_contact, Contact)
DIALARC_ENUM(dialarc_bezel, Bezel)
DIALARC_ENUM(dialarc_dial_item, DialItem)
DIALARC_RECORD(dialarc_dial, Dial)
DIALARC_BORROWING(dialarc_dialcal)

DIALARC_UNLOCKED(dialarc_play_driven_array)
DIALARC_UNLOCKED(dialarc_play_reading_array)
DIALARC_UNLOCKED(dialarc_dial_travel_array)
DIALARC_UNLOCKED(dialarc_dial_unwrap_array)
DIALARC_UNLOCKED(dialarc_dialcal_true)
DIALARC_UNLOCKED(dialarc_dialcal_shown)

%include <dialarc/play.h>
%include <dialarc/dial.h>
%include <dialarc/dialcal.h>
%include <dialarc/diallimit.h>
