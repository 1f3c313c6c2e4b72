/* SPDX-License-Identifier: GPL-3.0-or-later */
/** @file
 * Umbrella header of dialarc: static timing of distributor injection pumps.
 */
#ifndef DIALARC_H
#define DIALARC_H

#include <dialarc/advice.h>
#include <dialarc/angle.h>
#include <dialarc/api.h>
#include <dialarc/assess.h>
#include <dialarc/batch.h>
#include <dialarc/belt.h>
#include <dialarc/cam.h>
#include <dialarc/camcompare.h>
#include <dialarc/camsmooth.h>
#include <dialarc/camtable.h>
#include <dialarc/conformity.h>
#include <dialarc/crank.h>
#include <dialarc/decision.h>
#include <dialarc/delivery.h>
#include <dialarc/dial.h>
#include <dialarc/dialcal.h>
#include <dialarc/diallimit.h>
#include <dialarc/drive.h>
#include <dialarc/finding.h>
#include <dialarc/flywheel.h>
#include <dialarc/follower.h>
#include <dialarc/fuel.h>
#include <dialarc/injection.h>
#include <dialarc/joint.h>
#include <dialarc/law.h>
#include <dialarc/learned_cam.h>
#include <dialarc/line.h>
#include <dialarc/lobes.h>
#include <dialarc/minimum.h>
#include <dialarc/montecarlo.h>
#include <dialarc/older_units.h>
#include <dialarc/play.h>
#include <dialarc/pluck.h>
#include <dialarc/propagate.h>
#include <dialarc/reuse.h>
#include <dialarc/rounds.h>
#include <dialarc/scca.h>
#include <dialarc/setup.h>
#include <dialarc/status.h>
#include <dialarc/stream.h>
#include <dialarc/sweep.h>
#include <dialarc/table.h>
#include <dialarc/table_cams.h>
#include <dialarc/table_dials.h>
#include <dialarc/table_results.h>
#include <dialarc/table_rounds.h>
#include <dialarc/table_setups.h>
#include <dialarc/table_sweeps.h>
#include <dialarc/tabled_cam.h>
#include <dialarc/tdc.h>
#include <dialarc/timing.h>
#include <dialarc/timing_shift.h>
#include <dialarc/tooth.h>
#include <dialarc/torque.h>
#include <dialarc/uncertainty.h>
#include <dialarc/units.h>
#include <dialarc/wear.h>
#include <dialarc/whatif.h>
#include <dialarc/workspace.h>

#endif
