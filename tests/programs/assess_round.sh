#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# dialarc assess and dialarc round as they are used: results, exit status, messages, and
# nothing half-written whatever is fed to them.
set -u
export LC_ALL=C
demo=${srcdir:-.}/examples/demo dialarc=${DIALARC_PROGRAM:-$PWD/examples/programs/dialarc}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
failed=0 setups=$scratch/setups.csv
printf 'setup,lobes\nfour,4\nsix,6\n' >"$setups"

complain() { echo "FAILED: $*"; failed=1; }

# expect STATUS COMMAND... : runs it, keeps what it says in $scratch/stdout and stderr
expect() {
    "${@:2}" >"$scratch/stdout" 2>"$scratch/stderr" </dev/null
    local got=$?
    [ $got -eq "$1" ] || { complain "status $got, not $1: ${*:2}"; cat "$scratch/stderr"; }
}

# says TEXT : the last command's message holds it
says() { grep -qF -- "$1" "$scratch/stderr" || { complain "no \"$1\" in:"; cat "$scratch/stderr"; }; }

silent() { [ ! -s "$scratch/stdout" ] || complain "something was written to standard output"; }

# refuse MESSAGE dialarc COMMAND SETUPS TABLE : status 2, the message, no output, on any way out
refuse() {
    expect 2 "${@:2}"
    says "$1"
    silent
    [ "$3" = assess ] || return 0
    mkdir "$scratch/out"
    echo before >"$scratch/out/results.csv"
    expect 2 "$dialarc" assess --out "$scratch/out/results.csv" "${@:4}"
    says "$1"
    [ "$(cat "$scratch/out/"*)" = before ] || complain "the output file was touched"
    [ "$(ls "$scratch/out")" = results.csv ] || complain "left behind: $(ls "$scratch/out")"
    rm -r "$scratch/out"
}

# table MESSAGE [SETUPS] : refuses the sweeps table on standard input
table() {
    cat >"$scratch/sweeps.csv"
    refuse "$1" "$dialarc" assess "${2-$setups}" "$scratch/sweeps.csv"
}

# setups_table MESSAGE : refuses the setups table on standard input
setups_table() {
    cat >"$scratch/bad_setups.csv"
    refuse "$1" "$dialarc" assess "$scratch/bad_setups.csv" "$demo/sweeps.csv"
    refuse "$1" "$dialarc" round "$scratch/bad_setups.csv" "$demo/rounds.csv"
}

echo "demo data"
expect 1 "$dialarc" assess "$demo/setups.csv" "$demo/sweeps.csv"
cp "$scratch/stdout" "$scratch/results.csv"
says "unusable: badger short: minimum_not_bracketed"
cut -d, -f1,2 "$scratch/results.csv" | diff - <(printf '%s\n' sweep,verdict 'heron good,in' \
    'heron late,low' 'heron early,high' 'badger misread,in' 'badger one way,undecided' \
    'badger short,unusable' 'otter learned,undecided') || complain "demo verdicts"
# True lifts of make_demo.py. Column 3 is the lift, column 4 its 95 % uncertainty.
while IFS=, read -r name truth; do
    awk -F, -v name="$name" -v truth="$truth" '
        $1 == name {d = $3 - truth; good = (d < 0 ? -d : d) <= $4}
        END {exit !good}' "$scratch/results.csv" || complain "lift of $name"
done <<<'heron good,0.903
heron late,0.762
heron early,1.021
badger misread,1.068
badger one way,1.118
otter learned,0.727'
if [ -n "${PYTHON3-}" ]; then
    mkdir "$scratch/demo"
    "$PYTHON3" "$demo/make_demo.py" "$scratch/demo" || complain "make_demo.py"
    for name in setups sweeps rounds twelve; do
        cmp "$scratch/demo/$name.csv" "$demo/$name.csv" || complain "$name.csv is not what make_demo.py writes"
    done
fi

echo "ways in and out"
expect 1 "$dialarc" assess --out "$scratch/file.csv" "$demo/setups.csv" "$demo/sweeps.csv"
silent
cmp "$scratch/file.csv" "$scratch/results.csv" || complain "--out differs from standard output"
for way in "- $demo/sweeps.csv <$demo/setups.csv" "$demo/setups.csv - <$demo/sweeps.csv"; do
    bash -c "'$dialarc' assess $way" >"$scratch/stdout" 2>/dev/null
    cmp "$scratch/stdout" "$scratch/results.csv" || complain "standard input: $way"
done
bash -c "cat '$demo/sweeps.csv' | '$dialarc' assess '$demo/setups.csv' -" 2>/dev/null |
    cmp - "$scratch/results.csv" || complain "a pipe"
sed 's/$/\r/' "$demo/sweeps.csv" >"$scratch/crlf.csv"
{ printf '\xef\xbb\xbf'; cat "$demo/sweeps.csv"; } >"$scratch/bom.csv"
head -c -1 "$demo/sweeps.csv" >"$scratch/no_newline.csv"
sed '2s/invented/"inv\nent""ed"/' "$demo/sweeps.csv" >"$scratch/quoted.csv"
awk -F, -v OFS=, '{print $5, $4, $3, $2, $1}' "$demo/sweeps.csv" >"$scratch/order.csv"
for name in crlf bom no_newline quoted order; do
    expect 1 "$dialarc" assess "$demo/setups.csv" "$scratch/$name.csv"
    cmp "$scratch/stdout" "$scratch/results.csv" || complain "$name changes the result"
done
ln -s file.csv "$scratch/link.csv"
echo before >"$scratch/file.csv"
chmod 640 "$scratch/file.csv"
expect 1 "$dialarc" assess --out "$scratch/link.csv" "$demo/setups.csv" "$demo/sweeps.csv"
[ -L "$scratch/link.csv" ] || complain "a link was replaced"
cmp "$scratch/file.csv" "$scratch/results.csv" || complain "the file behind a link"
[ "$(stat -c %a "$scratch/file.csv")" = 640 ] || complain "permissions of the output file"
# A link to a file that is not there yet, by way of another link in another folder.
mkdir "$scratch/far"
ln -s far/next.csv "$scratch/dangling.csv"
ln -s ../made.csv "$scratch/far/next.csv"
expect 1 "$dialarc" assess --out "$scratch/dangling.csv" "$demo/setups.csv" "$demo/sweeps.csv"
[ -L "$scratch/dangling.csv" ] && [ -L "$scratch/far/next.csv" ] || complain "a dangling link was replaced"
cmp "$scratch/made.csv" "$scratch/results.csv" || complain "the file behind a dangling link"
ln -s circle.csv "$scratch/circle.csv"
expect 2 "$dialarc" assess --out "$scratch/circle.csv" "$demo/setups.csv" "$demo/sweeps.csv"
says "circle.csv: cannot be written: Too many levels of symbolic links"
[ -L "$scratch/circle.csv" ] || complain "a link to itself was replaced"
mkfifo "$scratch/fifo"
timeout 20 cat "$scratch/fifo" >"$scratch/from_fifo" &
expect 1 timeout 20 "$dialarc" assess --out "$scratch/fifo" "$demo/setups.csv" "$demo/sweeps.csv"
wait
[ -p "$scratch/fifo" ] || complain "a pipe was replaced by a file"
cmp "$scratch/from_fifo" "$scratch/results.csv" || complain "--out to a pipe"

echo "looks at one setting"
# The good sweep thrice, the dial set to zero anew each time; then all sweeps of heron4.
awk -F, -v OFS=, 'NR == 1 {print; next} $1 == "heron good" {
    for (k = 0; k < 3; k++) row[k, NR] = "heron " k OFS $2 OFS $3 OFS $4 + 0.005 * k OFS}
    END {for (k = 0; k < 3; k++) for (i = 1; i <= NR; i++) if ((k, i) in row) print row[k, i]}' \
    "$demo/sweeps.csv" >"$scratch/again.csv"
grep '^sweep\|,heron4,' "$demo/sweeps.csv" >"$scratch/heron.csv"
expect 0 "$dialarc" assess "$demo/setups.csv" "$scratch/again.csv"
says "heron4: its 3 sweeps may be of one setting"
expect 0 "$dialarc" assess --together "$demo/setups.csv" "$scratch/again.csv"
[ ! -s "$scratch/stderr" ] || complain "told of looks that were counted"
[ "$(cut -d, -f1,2 "$scratch/stdout" | tail -n +2)" = heron4,in ] || complain "three good looks"
expect 0 "$dialarc" assess "$demo/setups.csv" "$scratch/heron.csv"
says "heron4: its 3 sweeps are not of one setting"
expect 0 "$dialarc" assess --together "$demo/setups.csv" "$scratch/heron.csv"
grep -q '^heron4,undecided,.*repeatability' "$scratch/stdout" || complain "three settings as one"

echo "output that cannot be written"
bash -c "'$dialarc' assess '$demo/setups.csv' '$demo/sweeps.csv' >&-" 2>"$scratch/stderr"
[ $? -eq 2 ] || complain "closed standard output of dialarc assess"
says "standard output: cannot be written"
bash -c "'$dialarc' round '$demo/setups.csv' '$demo/rounds.csv' >&-" 2>"$scratch/stderr"
[ $? -eq 2 ] || complain "closed standard output of dialarc round"
says "standard output: cannot be written"
if [ -w /dev/full ]; then
    expect 2 bash -c "'$dialarc' assess '$demo/setups.csv' '$demo/sweeps.csv' >/dev/full"
    expect 2 bash -c "'$dialarc' round '$demo/setups.csv' '$demo/rounds.csv' >/dev/full"
fi
expect 2 "$dialarc" assess --out "$scratch/no/such/folder" "$demo/setups.csv" "$demo/sweeps.csv"
says "no/such/folder: cannot be written"
expect 2 "$dialarc" assess --out "$scratch" "$demo/setups.csv" "$demo/sweeps.csv"

echo "usage"
for arguments in "" "$setups" "- -" "--wrong $setups -" "$setups - extra" "$setups - --out" "-x -"; do
    # shellcheck disable=SC2086 # words on purpose
    expect 2 "$dialarc" assess $arguments
    says "usage: dialarc assess"
    silent
done
for arguments in "" "$setups" "- -" "--report $setups" "$setups - extra"; do
    # shellcheck disable=SC2086
    expect 2 "$dialarc" round $arguments
    says "usage: dialarc round"
    silent
done
for command in assess round; do
    expect 0 "$dialarc" $command --help
    grep -q usage: "$scratch/stdout" || complain "no help"
done
refuse "no/such.csv: cannot be opened: " "$dialarc" assess no/such.csv "$demo/sweeps.csv"
refuse "no/such.csv: cannot be opened: " "$dialarc" assess "$setups" no/such.csv
refuse "no/such.csv: cannot be opened: " "$dialarc" round "$demo/setups.csv" no/such.csv
refuse "reading failed" "$dialarc" assess "$scratch" "$demo/sweeps.csv"
refuse "reading failed" "$dialarc" assess "$setups" "$scratch"

echo "bad input"
head=sweep,setup,crank_deg,dial_mm
table "sweeps.csv, line 1 (header), column dial_mm: this column is missing" <<<"sweep,setup,crank_deg"
table "column crank_deg: this column is missing" <<<"sweep,setup,dial_mm"
table "column dial_m: this name is nearly dial_mm" <<<"sweep;setup;crank_deg;dial_m"
table 'has a point, but the number in line 2 has a comma' <<<"${head//,/;}
a;four;1,5;0.8"
table 'line 3 (row 2), column dial_mm: "0.8x" is not a number' <<<"$head
a,four,1,0.8
a,four,2,0.8x"
table 'column dial_mm: "0,85" has a decimal comma' <<<"$head
a,four,1,\"0,85\""
table "or a decimal comma?" <<<"$head
a,four,1,0,85"
table 'column crank_deg: "NaN" is not an ordinary number' <<<"$head
a,four,NaN,0.8"
table 'column dial_mm: "-inf" is not an ordinary number' <<<"$head
a,four,1,-inf"
table 'line 4 (row 3), column sweep: "a" comes a second time' <<<"$head
a,four,1,0.8
b,four,1,0.8
a,four,2,0.9"
table 'column setup: "eight" is not a setup of the setups table' <<<"$head
a,eight,1,0.8"
table "the file is empty" </dev/null
table "the table holds no sweep" <<<"$head"
table "line 2 (row 1): 3 fields, but the header has 4" <<<"$head
a,four,1"
table 'line 4 (row 1), column dial_mm: "x" is not a number' <<<"remark,$head
\"two
more\",\"a
\",four,1,x"
table "is not a number" < <(echo "$head"; printf 'a,four,1,%s\n' "$(head -c 1000000 /dev/zero | tr '\0' x)")
table "the field is longer than 1 MiB" < <(echo "$head"; printf 'a,four,1,'; head -c 10000000 /dev/zero | tr '\0' 5; echo)
table "column sweep: this column is missing" < <(seq -s, 1 1000000)
table "1000000 fields, but the header has 4" < <(echo "$head"; seq -s, 1 1000000)
table "line 2 (row 1), column dial_mm: \"x\" is not a number" < <(
    seq -s, 1 1000000 | sed "s/$/,$head/"; seq -s, 1 1000000 | sed 's/$/,a,four,1,x/')
table "byte 0x00 does not belong in a text file" < <(echo "$head"; head -c 1000 /dev/zero)
table "in a text file" < <(printf '\x7fELF\x02\x01\x01'; head -c 100000 /dev/zero)
table "UTF-16" < <(printf '\xff\xfes\0w\0e\0e\0p\0')
table "is never closed" <<<"$head
a,four,1,\"0.8"
table "not UTF-8" < <(echo "$head"; printf 'M\xfcller,four,1,0.8\n')
head -c 200000 "$dialarc" | table "sweeps.csv"

setups_table 'column lobes: "0" must be a whole number from 1 to 16' <<<"setup,lobes
four,0"
setups_table 'column lobes: "-4" must be a whole number from 1 to 16' <<<"setup,lobes
four,-4"
setups_table "the window is upside down" <<<"setup,lobes,lift_low_mm,lift_high_mm
four,4,0.9,0.8"
setups_table "this column is missing" <<<"setup,lift_low_mm
four,0.9"
setups_table "a setup of this name stands further up" <<<"setup,lobes
four,4
four,6"
setups_table "the file is empty" </dev/null

cat >"$scratch/rounds.csv" <<<"job,setup,round,minimum_mm,tdc_mm,state
a,four,1,0,0.8,slack"
refuse 'rounds.csv, line 2 (row 1), column state: "slack" must be loose or tight' \
    "$dialarc" round "$setups" "$scratch/rounds.csv"
head -1 "$demo/rounds.csv" >"$scratch/rounds.csv"
refuse "the table holds no job" "$dialarc" round "$demo/setups.csv" "$scratch/rounds.csv"

echo "pages for people"
expect 1 "$dialarc" assess --report "$demo/setups.csv" "$demo/sweeps.csv"
cp "$scratch/stdout" "$scratch/report"
expect 0 "$dialarc" round "$demo/setups.csv" "$demo/rounds.csv"
cat "$scratch/stdout" >>"$scratch/report"
[ "$(wc -L <"$scratch/report")" -le 80 ] || complain "a page is wider than 80 columns"
! grep -qP '[^\x20-\x7e]' "$scratch/report" || complain "a page holds more than plain text"
! grep -qiE 'nan|inf[^loaoe]|-0\.0+ ' "$scratch/report" || complain "nan, inf or -0 on a page"
for text in "TOO LATE" "TOO EARLY" "GOOD" "NOT SURE" "NO VERDICT" "clockwise seen from the drive end" \
    "mm along the rim" "Aim: the dial" "TDC mark" "high pressure" "service literature" \
    "learned from the sweep" "of sweeps.csv)"; do
    tr -s ' \n' ' ' <"$scratch/report" | grep -qF "$text" || complain "no \"$text\" on the pages"
done

echo "embedding"
expect 0 examples/embed
grep -qE '^lift at TDC 0\.72 mm, within 0\.01 mm\. The setting lies in the window' "$scratch/stdout" ||
    { complain "embed says:"; cat "$scratch/stdout"; }

exit $failed
