#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# What a window refers to and what it asks of TDC, as the pages say it; and all faults of a
# table in one run.
. "${srcdir:-.}/tests/programs/page_kit.sh"
names='setup,lobes,lift_low_mm,lift_high_mm,cam_law,cam_lift_mm,rise_deg,top_dwell_deg,base_dwell_deg,angle_sd_deg,dial_sd_mm,dial_step_mm,dial_error_mm'
heron='heron4,4,0.88,0.92,poly345,2.2,38,2,10,0.25,0.002,0.005,0.003'

# about SWEEP NAMES VALUES : the page of one sweep of heron4, with more in its setup
about() {
    printf '%s,%s\n%s,%s\n' "$names" "$2" "$heron" "$3" >"$scratch/setups.csv"
    grep -e ^sweep, -e "^$1," "$demo/sweeps.csv" >"$scratch/sweeps.csv"
    expect 0 "$dialarc" assess --report "$scratch/setups.csv" "$scratch/sweeps.csv"
    plain
}
silent() { ! tr -s ' \n' ' ' <"$scratch/stdout" | grep -qF -- "$1" || complain "\"$1\" on the page"; }

echo "where the window is"
about "heron good" tdc_sd_deg 0.08
page "Lift at TDC 0.896 mm"
page "0.880 to 0.920 mm at TDC, the middle"
about "heron good" tdc_sd_deg,window_crank_deg 0.08,2
page "Lift at 2 crank degrees after TDC: 1.0"
page "0.880 to 0.920 mm at 2 crank degrees after TDC, the middle"
page "come forward to 2 crank degrees after TDC without"
page "the rise begins 34.2 crank degrees before TDC"
heron=${heron/0.92/1.95} about "heron good" tdc_sd_deg,window_crank_deg 0.08,2 # more than was swept
page "TDC stands for 2 crank degrees after TDC above."
about "heron good" window_at mark
page "Lift at the mark: 0.896 mm"
page "meeting of the mark 0.005"
page "GOOD."
about "heron good" window_at,tdc_sd_deg mark,0.3
page "NOT SURE"
page "How the mark is met is the weakest point."
page "The mark must be met to +- 0.1"

echo "what it asks of TDC"
about "heron good" tdc_sd_deg ""
page "NOT SURE"
page "TDC is the weakest point. Before anything is moved, find it better"
page "TDC must be known to +- 0.1"
page "tdc_sd_deg is blank, and the mark is assumed to stand within 0.5."
page "is smaller than its own uncertainty"
silent "take the sweep again"
about "heron good" tdc_sd_deg 0.3
page "(sd) for this window; tdc_sd_deg says 0.3."
about "heron late" tdc_sd_deg 0.08
silent "must be known"

echo "which stroke: a caution of the page until firing TDC was seen"
about "heron good" firing_tdc not_seen
page "CAUTION ="
page "Make sure by the engine's cams or valves that this is firing TDC"
silent "note: With an even number"
about "heron good" firing_tdc seen
silent "even number of lobes"

echo "what is turned, and which way"
about "heron late" tdc_sd_deg,turned,body_radius_mm,rotation 0.08,body,75,cw
page "turn the pump body against the running direction of its shaft, counter-clockwise seen from the drive end and clockwise from the dial, by 1.3"
page "mm at 75 mm radius."
silent "turn it as far the other way"
silent "rim"
about "heron late" tdc_sd_deg,turned 0.08,shaft
page "turn the pump shaft forward"
silent "body"
about "heron late" tdc_sd_deg,turn_back 0.08,forbidden
page "turn the engine forward in its running direction by nearly two full crank turns, then slowly on up to TDC"
heron=${heron/0.92/1.95} about "heron late" tdc_sd_deg,turn_back 0.08,forbidden
page "where that is said above, come round forward instead."
silent "turn the crank back"
about "heron late" tdc_sd_deg,turn_back 0.08,allowed
page "turn the crank back by 25 degrees or more"
silent "forbids"

echo "all faults at once"
cat >"$scratch/setups.csv" <<<"setup,lobes,rise_degs
a,four,1
b,4"
expect 2 "$dialarc" assess "$scratch/setups.csv" "$demo/sweeps.csv"
says "setups.csv, line 1 (header), column rise_degs: this name is nearly rise_deg"
says 'setups.csv, line 2 (row 1), column lobes: "four" is not a number'
says "setups.csv, line 3 (row 2): 2 fields, but the header has 3"
[ "$(wc -l <"$scratch/stderr")" -eq 3 ] || complain "more or less than three faults"
{ echo "job,round,minimum_mm,tdc_mm,state"; seq 1 30 | sed 's/.*/j,&,x,0.9,loose/'; } >"$scratch/rounds.csv"
printf 'setup,lobes\na,4\n' >"$scratch/setups.csv"
expect 2 "$dialarc" round "$scratch/setups.csv" "$scratch/rounds.csv"
says "line 21 (row 20), column minimum_mm"
says "rounds.csv: and 10 more"
{ echo "sweep,crank_deg,dial_mm"; printf 's,%s,0.1\n' -2 x y; printf 't,1,z\n'; } >"$scratch/sweeps.csv"
expect 2 "$dialarc" assess "$scratch/setups.csv" "$scratch/sweeps.csv"
says "line 4 (row 3), column crank_deg"
says "line 5 (row 4), column dial_mm"

exit $failed
