#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# dialarc cam learn and dialarc cam check as they are used.
. "${srcdir:-.}/tests/programs/page_kit.sh"
pumps=$demo/reuse/pumps.csv whole=$demo/reuse/whole_lobes.csv
ten=$demo/reuse/ten_readings.csv
cams=$scratch/cams.csv

# of NAME... : the rows of these sweeps in the demonstration's whole lobes
of() { awk -F, -v names="$(IFS=,; echo "$*")" 'NR == 1 || index("," names ",", "," $1 ",")' "$whole"; }

echo "learn"
expect 1 "$dialarc" cam learn --out "$cams" "$pumps" "$whole"
plain
page "Cam teal5, learned from the sweep teal first: total lift 2.1"
page "Cam grebe4, learned from the sweep grebe first"
says "no cam learned from teal broken off: it goes over 56 % of a lobe forward and 56 % back"
says "no cam learned from grebe one way: it goes over 100 % of a lobe forward and 0 % back"
[ "$(head -1 "$cams")" = cam,pump_deg,lift_mm,period_deg,cam_sd_mm ] || complain "header of the cams"
[ "$(cut -d, -f1,4 "$cams" | sort -u | tr '\n' ' ')" = "cam,period_deg grebe4,90 teal5,72 " ] ||
    complain "cams of the table"
# The cams of make_lobe.py, which follow no law; where a lobe begins cannot be seen to a
# degree, and does not matter: the table is shifted to where it fits.
if [ -n "${PYTHON3-}" ]; then
    "$PYTHON3" - "$cams" "$demo" <<'TRUTH' || complain "learned lobes are not the simulated ones"
import csv
import sys
sys.path.insert(0, sys.argv[2])
from make_lobe import GREBE, TEAL
with open(sys.argv[1], newline="") as table:
    rows = list(csv.DictReader(table))
for name, pump in (("teal5", TEAL), ("grebe4", GREBE)):
    points = [(float(r["pump_deg"]), float(r["lift_mm"])) for r in rows if r["cam"] == name]
    worst = min(max(abs(lift - pump.lift(angle + shift / 50)) for angle, lift in points)
                for shift in range(-75, 76))
    print(name, "differs by", worst)
    if worst > 0.01:
        sys.exit(1)
TRUTH
fi
mkdir "$scratch/reuse"
made make_lobe.py reuse/pumps.csv reuse/whole_lobes.csv reuse/ten_readings.csv
expect 1 "$dialarc" cam learn "$pumps" "$whole"
cmp "$scratch/stdout" "$cams" || complain "standard output differs from the file"
gzip -c "$whole" >"$scratch/whole.csv.gz"
bash -c "'$dialarc' cam learn - '$scratch/whole.csv.gz' <'$pumps'" 2>/dev/null | cmp - "$cams" ||
    complain "standard input or gzip"

echo "check"
expect 0 "$dialarc" cam check "$cams" "$pumps" "$ten"
cp "$scratch/stdout" "$scratch/page"
plain
for text in "SWEEP teal third, engine teal5" "TOO LATE" "from the table of cams" "high pressure" \
    "Readings used: 10;"; do
    page "$text"
done
# What make_lobe.py put in must lie within U of what the page says.
while IFS=, read -r name truth; do
    awk -v name="$name" -v truth="$truth" '
        function off(a, b) {return a < b ? b - a : a - b}
        $1 == "SWEEP" {here = index($0, "SWEEP " name ",")}
        here && /Lift at TDC   [0-9]/ {good = off($4, truth) <= $(NF - 3) && $(NF - 3) < 0.04}
        END {exit !good}' "$scratch/page" || complain "$name: the truth is not within U"
done <<'TRUTH'
teal second,0.912
teal third,0.803
grebe second,0.871
TRUTH
expect 0 "$dialarc" cam check --out "$scratch/out" "$cams" "$pumps" "$ten"
[ ! -s "$scratch/stdout" ] || complain "--out wrote to standard output too"
cmp "$scratch/out" "$scratch/page" || complain "--out differs from standard output"
bash -c "'$dialarc' cam check - '$pumps' '$ten' <'$cams'" | cmp - "$scratch/page" || complain "cams on standard input"
# Without the cam ten readings are no use: it would have to be learned from them.
expect 1 "$dialarc" assess --report "$pumps" "$ten"
says "unusable"

echo "which cam"
grep -v '^grebe' "$cams" >"$scratch/teal.csv"
expect 2 "$dialarc" cam check "$scratch/teal.csv" "$pumps" "$ten"
says "grebe second: the table of cams has no cam called grebe4; say by --cam which one is meant"
expect 2 "$dialarc" cam check --cam teal5 "$cams" "$pumps" "$ten"
says "grebe second: the cam of the table is of a pump with another number of lobes"
expect 2 "$dialarc" cam check --cam nobody "$cams" "$pumps" "$ten"
says "no cam called nobody"
grep -v grebe "$ten" >"$scratch/teal_ten.csv"
sed 's/^teal5,/a cam,/' "$scratch/teal.csv" >"$scratch/renamed.csv"
expect 0 "$dialarc" cam check --cam "a cam" "$scratch/renamed.csv" "$pumps" "$scratch/teal_ten.csv"
head -n "$(grep -n 'SWEEP grebe' "$scratch/page" | cut -d: -f1)" "$scratch/page" | head -n -1 >"$scratch/first"
head -n "$(wc -l <"$scratch/first")" "$scratch/stdout" | cmp - "$scratch/first" ||
    complain "the name of a cam changes what it says"
# Two sweeps of one engine: each cam has the name of its sweep.
{ of "teal first"; of "teal first" | sed '1d; s/^teal first,/again,/'; } >"$scratch/twice.csv"
expect 0 "$dialarc" cam learn --out "$scratch/two.csv" "$pumps" "$scratch/twice.csv"
[ "$(cut -d, -f1 "$scratch/two.csv" | uniq | tr '\n' ' ')" = "cam teal first again " ] ||
    complain "two cams of one engine"
expect 0 "$dialarc" cam check "$cams" "$pumps" "$scratch/teal_ten.csv"
cp "$scratch/stdout" "$scratch/by_table"
expect 0 "$dialarc" cam check --cam again "$scratch/two.csv" "$pumps" "$scratch/teal_ten.csv"
expect 2 "$dialarc" cam check "$scratch/two.csv" "$pumps" "$scratch/teal_ten.csv"
says "no cam called teal5"
{ sed 's/^again,/grebe4,/' "$scratch/twice.csv"; of "grebe first" | sed 1d; } >"$scratch/clash.csv"
expect 2 "$dialarc" cam learn --out "$scratch/none.csv" "$pumps" "$scratch/clash.csv"
says "grebe4: an engine and a sweep have the same name"
[ ! -e "$scratch/none.csv" ] || complain "a table of two cams of one name"

echo "refused"
echo before >"$scratch/kept.csv"
of "teal first" >"$scratch/one.csv"
grep '^sweep\|^heron good' "$demo/sweeps.csv" >"$scratch/heron.csv"
expect 2 "$dialarc" cam learn --out "$scratch/kept.csv" "$demo/setups.csv" "$scratch/heron.csv"
says "heron good: the table of engines gives the cam of its engine already"
says "no cam could be learned"
# A cam of the table goes before the law of the engine.
sed 's/,lobes,/,lobes,cam_law,cam_lift_mm,rise_deg,top_dwell_deg,base_dwell_deg,/
     s/^teal5,5,/&harmonic,,31,1.5,8,/; s/^grebe4,4,/&,,,,,/' "$pumps" >"$scratch/known.csv"
expect 0 "$dialarc" cam check "$cams" "$scratch/known.csv" "$scratch/teal_ten.csv"
cmp "$scratch/stdout" "$scratch/by_table" || complain "the law of the engine has a say"
page "from the table of cams"
of "teal broken off" "grebe one way" >"$scratch/broken.csv"
expect 2 "$dialarc" cam learn --out "$scratch/kept.csv" "$pumps" "$scratch/broken.csv"
says "no cam could be learned"
awk -F, 'NR == 1 || $3 > -20' "$scratch/one.csv" >"$scratch/flank.csv"
expect 2 "$dialarc" cam learn --out "$scratch/kept.csv" "$pumps" "$scratch/flank.csv"
head -1 "$whole" >"$scratch/empty.csv"
expect 2 "$dialarc" cam learn --out "$scratch/kept.csv" "$pumps" "$scratch/empty.csv"
says "holds no sweep"
expect 2 "$dialarc" cam check "$cams" "$pumps" "$scratch/empty.csv"
says "holds no sweep"
sed '100s/,[0-9.]*,/,x,/' "$whole" >"$scratch/bad.csv"
expect 2 "$dialarc" cam learn --out "$scratch/kept.csv" "$pumps" "$scratch/bad.csv"
says "line 100"
sed '7s/,72,/,73,/' "$cams" >"$scratch/bad.csv"
expect 2 "$dialarc" cam check --out "$scratch/kept.csv" "$scratch/bad.csv" "$pumps" "$ten"
says "line 7 (row 6), column period_deg: the first row of this cam has another value"
sed '20s/,[0-9.]*,/,x,/' "$ten" >"$scratch/bad.csv"
expect 2 "$dialarc" cam check --out "$scratch/kept.csv" "$cams" "$pumps" "$scratch/bad.csv"
says "line 20"
[ "$(cat "$scratch/kept.csv")" = before ] || complain "an output file was touched"
expect 2 "$dialarc" cam check no/such.csv "$pumps" "$ten"
says "No such file"
expect 2 "$dialarc" cam check "$cams" no/such.csv "$ten"
expect 2 "$dialarc" cam learn --out "$scratch/none.csv" "$pumps" no/such.csv
expect 2 "$dialarc" cam learn --out no/such/cams.csv "$pumps" "$whole"
says "cannot be written"
for arguments in "learn" "learn $pumps" "learn - -" "check $cams $pumps" "check - - $ten" \
    "check $cams - -" "check $cams $pumps $ten more" "learn --cam x $pumps $whole" "check --cam" \
    "check --wrong $cams $pumps $ten"; do
    # shellcheck disable=SC2086 # words on purpose
    expect 2 "$dialarc" cam $arguments
    says "usage: dialarc cam ${arguments%% *}"
done
expect 0 "$dialarc" cam --help
plain
expect 0 "$dialarc" cam check --help
if [ -w /dev/full ]; then
    expect 2 bash -c "'$dialarc' cam check '$cams' '$pumps' '$ten' >/dev/full"
    says "cannot be written"
    expect 2 "$dialarc" cam learn --out /dev/full "$pumps" "$scratch/one.csv"
fi
exit $failed
