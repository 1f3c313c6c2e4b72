#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# dialarc lobes and dialarc what-if as they are used.
. "${srcdir:-.}/tests/programs/page_kit.sh"
lobes=("$dialarc" lobes) what=("$dialarc" what-if)

echo "lobes"
setups=$demo/setups.csv turns=$demo/turns.csv
expect 1 "${lobes[@]}" --csv "$setups" "$turns"
cp "$scratch/stdout" "$scratch/lobes.csv"
says "unusable: otter half turn"
# True lobes of make_turns.py: crank degrees early and mm higher than the first. Columns 4
# and 5 are the advance with its 95 % uncertainty, 7 and 8 the lift. One in twenty may lie
# outside, none by more than half as much again.
while IFS=, read -r name lobe early higher; do
    awk -F, -v name="\"$name\"" -v lobe="$lobe" -v early="$early" -v higher="$higher" '
        function off(a, b) {return a < b ? b - a : a - b}
        $1 == name && $2 == lobe {good = off($4, early) <= 1.5 * $5 && off($7, higher) <= 1.5 * $8}
        END {exit !good}' "$scratch/lobes.csv" || complain "$name, lobe $lobe"
done <<'TRUTH'
heron turn,2,0.30,0.012
heron turn,3,-0.60,-0.006
heron turn,4,-0.10,0.020
badger turn,2,-0.20,0.010
badger turn,3,0.40,0.010
badger turn,4,-0.10,-0.010
badger turn,5,-0.30,0
badger turn,6,0.20,0.005
otter turn,2,0,0
otter turn,3,0,0
otter turn,4,-0.80,-0.050
TRUTH
[ "$(wc -l <"$scratch/lobes.csv")" -eq 15 ] || complain "rows of the table"
expect 1 "${lobes[@]}" --csv --out "$scratch/file.csv" "$setups" "$turns"
[ ! -s "$scratch/stdout" ] || complain "--out wrote to standard output too"
cmp "$scratch/file.csv" "$scratch/lobes.csv" || complain "--out differs from standard output"
bash -c "'$dialarc' lobes --csv '$setups' - <'$turns'" 2>/dev/null | cmp - "$scratch/lobes.csv" ||
    complain "standard input"
expect 1 "${lobes[@]}" "$setups" "$turns"
plain
for text in "highest 18" "none to be seen" "learned from the sweep" "leave out part of the pump turn" \
    "line 671 of turns.csv" "high pressure"; do
    page "$text"
done
grep -qE '^ +4 .*o-* +\|$' "$scratch/stdout" || complain "the worn lobe stands late in no plot"
grep -v badger "$turns" >"$scratch/four.csv"
expect 1 "${lobes[@]}" --order 1-3-4-2 --csv "$setups" "$scratch/four.csv"
grep -q '^"heron turn",3,4,' "$scratch/stdout" || complain "the third lobe serves cylinder 4"
grep heron "$turns" | cat <(head -1 "$turns") - >"$scratch/heron.csv"
expect 0 "${lobes[@]}" "$setups" "$scratch/heron.csv"
made make_turns.py turns.csv

expect 2 "${lobes[@]}" --order 1-3-4-2 "$setups" "$turns"
says "firing order"
for arguments in "" "$setups" "- -" "--wrong $setups -" "$setups - extra" "$setups - --out"; do
    # shellcheck disable=SC2086 # words on purpose
    expect 2 "${lobes[@]}" $arguments
    says "usage: dialarc lobes"
done
for order in 1-2-x 1,2 0-1 1- ""; do
    expect 2 "${lobes[@]}" --order "$order" "$setups" "$turns"
    says "is no firing order; write it as --order 1-3-4-2"
done
expect 0 "${lobes[@]}" --help
expect 2 "${lobes[@]}" no/such.csv "$turns"
says "cannot be opened"
expect 2 "${lobes[@]}" "$setups" no/such.csv
says "cannot be opened"
head -1 "$turns" >"$scratch/empty.csv"
expect 2 "${lobes[@]}" "$setups" "$scratch/empty.csv"
says "holds no sweep"
sed '900s/,[0-9.]*,/,x,/' "$turns" >"$scratch/bad.csv"
echo before >"$scratch/kept.csv"
expect 2 "${lobes[@]}" --out "$scratch/kept.csv" "$setups" "$scratch/bad.csv"
says "line 900"
[ "$(cat "$scratch/kept.csv")" = before ] || complain "the output file was touched"

echo "what-if"
# Half a degree of mark error is half a degree of delivery, by definition of both.
expect 0 "${what[@]}" "$setups" heron4 tdc_mark_crank_deg=0.5
plain
page "delivers 0.50 crank degrees later"
page "OUTSIDE it"
# A tooth of 44 on the pump is 360 / 44 pump degrees, twice that at the crank: 16.36.
expect 0 "${what[@]}" "$setups" heron4 teeth=-1
page "delivers 16.36 crank degrees later"
page "OUTSIDE it"
# Both together: one after the other adds up where nothing bends.
expect 0 "${what[@]}" "$setups" heron4 tdc_mark_crank_deg=0.5 slack_left_crank_deg=2
page "delivers 2.50 crank degrees later"
expect 2 "${what[@]}" "$setups" heron4 tdc_mark_crank_deg=0.5 slack=2
# The shares make a whole.
expect 0 "${what[@]}" --budget "$setups" heron4 tdc_mark_crank_deg=0.5
plain
awk '/BUDGET/ {b = 1} b && / %$/ {lift += $3; late += $5}
    END {exit !(lift > 99.7 && lift < 100.3 && late > 99.7 && late < 100.3)}' "$scratch/stdout" ||
    complain "the shares of the budget"
expect 0 "${what[@]}" "$setups" badger6 reading_mm=0.02
page "+0.020 mm of lift"
! grep -q "by slopes alone" "$scratch/stdout" || complain "a bend where there is none"
# Near the foot of the cam, where its rise is all but parabolic, trials and slopes differ.
expect 0 "${what[@]}" "$setups" heron4 reading_mm=-0.8
page "by slopes alone"
expect 0 "${what[@]}" "$setups" badger6 slack_left_crank_deg=0
page "none to speak of"
expect 1 "${what[@]}" "$setups" heron4 reading_mm=9
says "reading_mm"
[ ! -s "$scratch/stdout" ] || complain "output without an answer"
expect 1 "${what[@]}" "$setups" otter4 reading_mm=0.01
says "cam_law, cam_lift_mm, rise_deg"
# A learned cam stands for the one that the table of engines does not tell.
"$dialarc" cam learn --out "$scratch/cams.csv" "$demo/reuse/pumps.csv" "$demo/reuse/whole_lobes.csv" >/dev/null 2>&1
expect 1 "${what[@]}" "$demo/reuse/pumps.csv" teal5 tdc_mark_crank_deg=0.5
says "--cams takes a learned cam"
expect 0 "${what[@]}" --cams "$scratch/cams.csv" "$demo/reuse/pumps.csv" teal5 tdc_mark_crank_deg=0.5
page "delivers 0.50 crank degrees later"
expect 2 "${what[@]}" --cams "$scratch/cams.csv" --cam nobody "$demo/reuse/pumps.csv" teal5 tdc_mark_crank_deg=0.5
says "there is no cam of this name"
expect 2 "${what[@]}"
says "usage: dialarc what-if"
expect 2 "${what[@]}" "$setups" heron4
expect 2 "${what[@]}" "$setups" heron4 "reading_mm"
expect 2 "${what[@]}" "$setups" heron4 "reading_mm=0,01"
expect 2 "${what[@]}" "$setups" heron4 "reading_mm=nan"
expect 2 "${what[@]}" "$setups" heron4 "reading=1"
expect 2 "${what[@]}" "$setups" nobody "reading_mm=0.01"
says "no engine of this name"
expect 2 "${what[@]}" no/such.csv heron4 "reading_mm=0.01"
expect 0 "${what[@]}" --help
grep -q stretch_advance_crank_deg "$scratch/stdout" || complain "inputs missing in the help"
bash -c "'$dialarc' what-if - heron4 teeth=1 <'$setups'" >"$scratch/stdout" 2>&1 || complain "standard input of what-if"
if [ -w /dev/full ]; then
    expect 2 bash -c "'$dialarc' what-if '$setups' heron4 teeth=1 >/dev/full"
    expect 2 bash -c "'$dialarc' lobes '$setups' '$turns' >/dev/full"
fi
exit $failed
