/* SPDX-License-Identifier: GPL-3.0-or-later
 * Tables in and out. */
DIALARC_RECORD(dialarc_error, ErrorPlace)
/* They tell of an array behind the struct, which an object of a language has not. */
%ignore dialarc_error::room;
%ignore dialarc_error::count;
DIALARC_HANDLE(dialarc_setups, Setups, dialarc_setups_free)
DIALARC_HANDLE(dialarc_sweeps, Sweeps, dialarc_sweeps_free)
#if defined(SWIGPYTHON)
DIALARC_HANDLE(dialarc_sweep_reader, SweepReader, dialarc_sweep_reader_free)
DIALARC_HANDLE(dialarc_sweep_buffer, SweepBuffer, dialarc_sweep_buffer_free)
#endif
DIALARC_HANDLE(dialarc_jobs, Jobs, dialarc_jobs_free)
DIALARC_HANDLE(dialarc_cams, Cams, dialarc_cams_free)
DIALARC_HANDLE(dialarc_dials, Dials, dialarc_dials_free)
DIALARC_HANDLE(dialarc_lifts, Lifts, dialarc_lifts_free)
DIALARC_HANDLE(dialarc_rows, Rows, dialarc_rows_free)
DIALARC_INDEX(dialarc_setups_name)
DIALARC_INDEX(dialarc_setups_dial)
DIALARC_INDEX(dialarc_setups_get)
DIALARC_INDEX(dialarc_sweeps_get)
DIALARC_INDEX(dialarc_jobs_get)
DIALARC_INDEX(dialarc_cams_name)
DIALARC_INDEX(dialarc_cams_get)
DIALARC_INDEX(dialarc_dials_name)
DIALARC_INDEX(dialarc_dials_calibrated_on)
DIALARC_INDEX(dialarc_dials_certificate)
DIALARC_INDEX(dialarc_lifts_sweep)
DIALARC_INDEX(dialarc_lifts_setup)
DIALARC_INDEX(dialarc_lifts_hand)
DIALARC_INDEX(dialarc_rows_text)

DIALARC_UNLOCKED(dialarc_setups_load)
DIALARC_UNLOCKED(dialarc_sweeps_load)
DIALARC_UNLOCKED(dialarc_jobs_load)
DIALARC_UNLOCKED(dialarc_cams_load)
DIALARC_UNLOCKED(dialarc_dials_load)
DIALARC_UNLOCKED(dialarc_lifts_load)
DIALARC_UNLOCKED(dialarc_rows_load)
DIALARC_UNLOCKED(dialarc_cam_format)

%include <dialarc/table.h>
%include <dialarc/table_setups.h>
%include <dialarc/table_sweeps.h>
%include <dialarc/table_rounds.h>
%include <dialarc/table_cams.h>
#if defined(SWIGPYTHON)
%apply const dialarc_setups * { dialarc_setups *setups };
#endif
%include <dialarc/table_dials.h>
%include <dialarc/table_results.h>
%include <dialarc/lifts.h>
%include <dialarc/table_rows.h>
