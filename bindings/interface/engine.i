/* SPDX-License-Identifier: GPL-3.0-or-later
 * The engine and the drive: crank, TDC, stages, wear, teeth. */
DIALARC_ENUM(dialarc_side, Side)
DIALARC_RECORD(dialarc_crank, Crank)
DIALARC_RECORD(dialarc_crank_motion, CrankMotion)
DIALARC_RECORD(dialarc_tdc, Tdc)
DIALARC_RECORD(dialarc_stage, Stage)
DIALARC_LIST(dialarc_stage, stage)
DIALARC_RECORD(dialarc_wear, Wear)
DIALARC_RECORD(dialarc_tooth, Tooth)
DIALARC_RECORD(dialarc_wheel, Wheel)

DIALARC_EACH_ALONE(dialarc_crank_drop_array)
DIALARC_EACH_ALONE(dialarc_wear_strain)

%include <dialarc/crank.h>
%include <dialarc/tdc.h>
%include <dialarc/drive.h>
%include <dialarc/flywheel.h>
%include <dialarc/wear.h>
%include <dialarc/tooth.h>
%include <dialarc/wheel.h>
