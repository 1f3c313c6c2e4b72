#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The commands for sums as they are used: what they say against closed forms written out
# here, and what they refuse.
. "${srcdir:-.}/tests/programs/page_kit.sh"
demo=${srcdir:-.}/examples/demo
setups=$demo/setups.csv

echo "drive"
# 360 degrees over 22 teeth of the crank; 0.3 mm of a pitch of 9.525 mm;
# 180 mm times 65 K times 1.8e-5 are 0.21 mm; pi 140 / 18 and 280 sin 5 degrees.
expect 0 "$dialarc" drive --stretch 0.3 --run 180 --flywheel 140 22 44
plain
page "16.36 crank degrees"
page "0.30 mm make the pump 0.52 crank degrees later"
page "0.21 mm make the pump 0.36 crank degrees later"
page "24.43 mm along the rim by tape, 24.40 mm"
expect 2 "$dialarc" drive 22 44.5
says "a number of teeth is wanted"
expect 2 "$dialarc" drive --stretch -1 22 44

echo "tdc"
# Half of 30.9 - 31.5 is 0.3 before the mark; the same by a rim on which a degree is 2 mm
# (114.592 mm); one pair, 0.25 degrees a reading, is known within 0.25 / sqrt 2 = 0.177.
expect 0 "$dialarc" tdc --wheel 0 31.5:30.9
plain
page "lies 0.30 crank degrees before the mark"
page "tdc_sd_deg: 0.177"
expect 0 "$dialarc" tdc --rim 114.592 61.8:63.0
page "lies 0.30 crank degrees after the mark"
# 2 x 114.592 sin 15 degrees are 59.318 mm by dividers.
expect 0 "$dialarc" tdc --rim 114.592 --chord 59.318:59.318
page "lies 0.00 crank degrees after the mark"
expect 0 "$dialarc" tdc 31.5:30.9 24.2:26.8
page "They disagree"
expect 2 "$dialarc" tdc 31.5
says "BEFORE:AFTER is wanted"

echo "dial"
# JIS B 7503:2011 as in refdata/dial_limits.csv: 10 um within a turn; 10 / sqrt 6 = 4.08.
# A small one has a limit for its whole range alone, 20 um: 8.16.
expect 0 "$dialarc" dial --range 5
plain
page "One turn 10.0 um"
page "A lift is known within 4.1 um (sd)"
expect 0 "$dialarc" dial --small --range 10
plain
page "A lift is known within 8.2 um (sd)"
expect 0 "$dialarc" dial --csv --name bench --range 5 --out "$scratch/dials.csv"
expect 1 "$dialarc" assess --dials "$scratch/dials.csv" "$setups" "$demo/sweeps.csv"
expect 2 "$dialarc" dial
says "the measuring range of the dial must be said"

echo "crosscheck"
# Where the lift is that of mid-window, 0.900 mm, the advance is the crank angle, whatever
# the cam: 1, 1 and 3 degrees with sd 0.3. The third is 2 off the mean of the others, U =
# 1.96 x 0.3 sqrt(1 + 1/2) = 0.72; chi-square 2^2 / (0.3^2 x 3/2) = 29.6.
witnesses() { { echo "witness,lift_mm,crank_deg,crank_rpm,lift_sd_mm,crank_sd_deg,mark,mark_sd_deg"; cat; } >"$scratch/w.csv"; }
witnesses <<<"a,0.9,-1,,0,0.3,a,0
b,0.9,-1,,0,0.3,b,0
c,0.9,-3,,0,0.3,c,0"
expect 1 "$dialarc" crosscheck "$setups" heron4 "$scratch/w.csv"
plain
page "+3.00 +- 0.59 +2.00 +- 0.72 c"
page "Chi-square 29.6 with 2 degrees of freedom"
page "c: 2.00 crank degrees earlier than the others, +- 0.72"
page "Without it the others agree"
page "The others 1.00 crank degrees earlier than mid-window, +- 0.42"
page "it lies above: too early"
# The same with an error of 1 degree that they share by one mark: they differ as before.
witnesses <<<"a,0.9,-1,,0,0.3,m,1
b,0.9,-1,,0,0.3,m,1
c,0.9,-3,,0,0.3,m,1"
expect 1 "$dialarc" crosscheck "$setups" heron4 "$scratch/w.csv"
page "+3.00 +- 2.05 +2.00 +- 0.72 c"
page "All were read at one mark: its error, 1.00 degrees"
# Of two, 4 degrees at rest by a line of 0.003 degrees a turn in a minute, 0.5 ms; scatter
# of none, and the mean of four readings by half their sd.
witnesses <<<"dial,0.9,-4,,0,0.4,,0
dial,0.9,-4,,,,,
dial,0.9,-4,,,,,
dial,0.9,-4,,,,,
lamp,0.9,-1,1000,0,0.1,lamp,0
lamp,0.9,0.5,1500,,,,
lamp,0.9,2,2000,,,,"
expect 0 "$dialarc" crosscheck "$setups" heron4 "$scratch/w.csv"
page "+4.00 +- 0.39"
page "lamp: a delay of 0.50 ms"
page "THEY AGREE"
witnesses <<<"dial,0.9,-4,,0,0.4,,0
lamp,0.9,-1,1000,0,0.1,lamp,0
lamp,0.9,-3,2000,,,,"
expect 1 "$dialarc" crosscheck "$setups" heron4 "$scratch/w.csv"
page "A delay below 0 is none"
page "Which of two is wrong cannot be told"
witnesses <<<"dial,0.9,,,,,,"
expect 0 "$dialarc" crosscheck "$setups" heron4 "$scratch/w.csv"
page "One witness alone"
{ echo "setup,witness,lift_mm"; for n in {1..24}; do echo "heron4,w$n,0.9"; done; } >"$scratch/w.csv"
expect 0 "$dialarc" crosscheck --csv "$setups" heron4 "$scratch/w.csv"
[ "$(wc -l <"$scratch/stdout")" = 25 ] || complain "rows of a crosscheck"
echo "badger6,other,1" >>"$scratch/w.csv"
expect 0 "$dialarc" crosscheck "$setups" heron4 "$scratch/w.csv"
echo "heron4,w25,0.9" >>"$scratch/w.csv"
expect 2 "$dialarc" crosscheck "$setups" heron4 "$scratch/w.csv"
says "w.csv, line 27 (row 26), column witness: a setting may have 24 witnesses"
expect 2 "$dialarc" crosscheck "$setups" badger6 "$demo/tdc.csv"
says "column witness"

echo "torque"
# 25 * 400 / (400 + 60 cos 30 degrees) = 22.13; 2.5 kgf m are 24.52 N m.
expect 0 "$dialarc" torque --wrench 400 --adapter 60 --angle 30 25
plain
page "set it to 22.13 N m"
expect 0 "$dialarc" torque --unit kgf-m --wrench 400 2.5
page "set it to 2.5 kgf m (24.5 N m)"
expect 2 "$dialarc" torque --unit stone --wrench 400 25
says "the units are"
expect 2 "$dialarc" torque 25
says "the length of the wrench"
expect 2 "$dialarc" torque --wrench 60 --adapter 60 --angle 180 25

echo "chart"
expect 0 "$dialarc" chart --csv --from -10 --to 0 --step 0.5 "$setups" heron4
[ "$(wc -l <"$scratch/stdout")" = 22 ] || complain "rows of the chart"
[ "$(tail -n 1 "$scratch/stdout")" = 0,0.88000,0.90000,0.92000 ] || complain "the row of TDC"
expect 0 "$dialarc" chart "$setups" heron4
plain
page "0.880 to 0.920 mm at TDC"
expect 1 "$dialarc" chart "$setups" otter4
says "its cam"
expect 2 "$dialarc" chart --step 0 "$setups" heron4
expect 2 "$dialarc" chart --step 0.00001 "$setups" heron4
expect 2 "$dialarc" chart "$setups" nobody
says "no engine of this name"

echo "plan"
expect 0 "$dialarc" plan --csv --forward --readings 10 "$setups" heron4
[ "$(wc -l <"$scratch/stdout")" = 11 ] || complain "readings of the plan"
grep -qx '0,with' "$scratch/stdout" || complain "no reading at TDC"
! grep -q against "$scratch/stdout" || complain "a reading on the way back"
expect 0 "$dialarc" plan --csv --step 2 --from -90 --to 20 "$setups" heron4
[ "$(grep -c against "$scratch/stdout")" -gt 0 ] || complain "the table says that it may be turned back"
expect 0 "$dialarc" plan "$setups" heron4
plain
page "0.880 to 0.920 mm at TDC"
page "WHERE TO READ, heron4"
# Nothing known but lobes and window, and the mark known within half a degree.
expect 1 "$dialarc" plan "$setups" otter4
page "TDC is the weakest point"
expect 2 "$dialarc" plan --readings 5 "$setups" heron4
says "6 to 200"
expect 2 "$dialarc" plan --forward --readings 50 --from -10 "$setups" heron4
says "no more than there are angles"
expect 2 "$dialarc" plan --to -5 "$setups" heron4
says "the angle of the window"
expect 2 "$dialarc" plan --step 0 "$setups" heron4
expect 2 "$dialarc" plan --lift 2.2 "$setups" heron4
says "the rise of the cam"
expect 2 "$dialarc" plan --forward --both-ways "$setups" heron4
says "one of them"
expect 2 "$dialarc" plan "$setups" nobody
says "no engine of this name"

echo "tooth"
# Where the lift of one tooth more stands on the cam: 1.74 mm.
expect 0 "$dialarc" tooth "$setups" heron4 1.74
plain
page "1 tooth early"
expect 0 "$dialarc" tooth "$setups" heron4 0.93
page "a wrong setting"
expect 1 "$dialarc" tooth "$setups" heron4 9
expect 2 "$dialarc" tooth "$setups" heron4 much

echo "injection"
# A delay of 0.44 ms is 6 * 0.44 / 1000 crank degrees a turn in a minute: 4.40 from 1000 to
# 2000 without a device would be 2.64.
expect 0 "$dialarc" injection --csv --delay 0.44 --step 1000 "$setups" heron4
plain
[ "$(awk -F, 'NR == 3 {a = $3} NR == 4 {printf "%.2f", a - $3}' "$scratch/stdout")" = 2.64 ] ||
    complain "degrees of a delay"
expect 0 "$dialarc" injection --buildup 6 --device 900:0,3500:9 "$setups" heron4
plain
expect 2 "$dialarc" injection --device 900-0 "$setups" heron4
says "speeds and crank degrees are wanted"
expect 2 "$dialarc" injection --device 900:0,900:1 "$setups" heron4
expect 2 "$dialarc" injection --prestroke 9 "$setups" heron4

echo "cam compare"
"$dialarc" cam learn --out "$scratch/cams.csv" "$demo/reuse/pumps.csv" "$demo/reuse/whole_lobes.csv" >/dev/null
expect 0 "$dialarc" cam compare "$scratch/cams.csv" teal5 teal5
plain
page "do not show that they differ"
expect 2 "$dialarc" cam compare "$scratch/cams.csv" teal5 nobody
# A rise three times as steep as the fall shows its shift more sharply: a shift errs by
# the error of a lift over the slope.
awk 'BEGIN {
    print "cam,pump_deg,lift_mm,period_deg,cam_sd_mm"
    for (k = 0; k < 2; k++)
        for (i = 0; i < 80; i++) {
            u = i < 20 ? i / 20 : (80 - i) / 60
            printf "%s,%d,%.6f,80,0.004\n", k ? "now" : "made", i,
                (2 - 0.1 * k) * u * u * u * (10 - 15 * u + 6 * u * u)
        }
    }' >"$scratch/steep.csv"
"$dialarc" cam compare "$scratch/steep.csv" made now >"$scratch/stdout"
awk '$1 == "Rise" || $1 == "Fall" {sub(/.*within /, ""); u[++n] = $0 + 0}
     END {exit !(n == 2 && u[1] > 0 && u[2] > 1.4 * u[1])}' "$scratch/stdout" ||
    complain "the shift of the fall is no less sharp than that of the rise"
says "no such cam"
expect 0 "$dialarc" chart --cams "$scratch/cams.csv" "$demo/reuse/pumps.csv" teal5
page "0.890 to 0.930 mm"
expect 2 "$dialarc" chart --cams "$scratch/cams.csv" --cam teal5 "$demo/reuse/pumps.csv" grebe4
exit $failed
