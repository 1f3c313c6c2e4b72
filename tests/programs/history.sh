#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# dialarc history as it is used. Skipped where it was built without SQLite.
set -u
export LC_ALL=C
demo=${srcdir:-.}/examples/demo dialarc=${DIALARC_PROGRAM:-$PWD/examples/programs/dialarc}
! "$dialarc" history near none.db 2>&1 | grep "built without" || exit 77
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
failed=0 setups=$demo/setups.csv file=$scratch/history.db

complain() { echo "FAILED: $*"; failed=1; }

# expect STATUS ARGUMENTS... : runs the program, keeps what it says
expect() {
    "$dialarc" history "${@:2}" >"$scratch/stdout" 2>"$scratch/stderr"
    local got=$?
    [ $got -eq "$1" ] || { complain "status $got, not $1: ${*:2}"; cat "$scratch/stderr"; }
    [ "$1" -ne 2 ] || [ ! -s "$scratch/stdout" ] || complain "output with status 2: ${*:2}"
}
says() { grep -qF -- "$1" "$scratch/$2" || { complain "no \"$1\" in:"; cat "$scratch/$2"; }; }

# sweep_at DEGREES [SETUP] : one sweep of the demonstration, its wheel shifted by so much
sweep_at() {
    awk -F, -v OFS=, -v shift="$1" -v setup="${2:-heron4}" '
        NR == 1 {print}
        $1 == "heron good" {$1 = "morning"; $2 = setup; $3 += shift; print}' "$demo/sweeps.csv"
}

echo "one row a sweep"
shop=(--hand "the apprentice" --dials "$demo/dials.csv" "$file" 2024-01-10 "$setups" "$demo/sweeps.csv")
expect 1 add "${shop[@]}"
says "2024-01-10: 7 sweeps added, 0 renewed" stdout
says "dialarc history add: unusable: badger short: minimum_not_bracketed" stderr
"$dialarc" history near "$file" --from 2024-01-10 >"$scratch/near"
"$dialarc" history engine "$file" heron4 >"$scratch/engine"
expect 1 add "${shop[@]}"
says "2024-01-10: 0 sweeps added, 7 renewed" stdout
"$dialarc" history near "$file" --from 2024-01-10 | cmp - "$scratch/near" || complain "a second run changes the table"
"$dialarc" history engine "$file" heron4 | cmp - "$scratch/engine" || complain "a second run changes the engine"
says "not known: it takes sweeps of two days" engine
! grep -q "too late to see\|unusable" "$scratch/engine" || complain "unusable sweeps are shown"

echo "drift"
# The wheel shifted by +0.3 degrees a year is an engine whose timing drifts by -0.3.
file=$scratch/drift.db
day=0
for date in 2020-03-01 2021-03-01 2022-03-01 2023-03-01; do
    sweep_at "$(awk "BEGIN {print 0.3 * $day}")" >"$scratch/sweep.csv"
    expect 0 add "$file" $date "$setups" "$scratch/sweep.csv"
    day=$((day + 1))
done
sweep_at 0 badger6 | sed 's/morning/other engine/' >"$scratch/sweep.csv"
sed 's/^badger6,6,2,1.05,1.09,[^,]*,[^,]*,[^,]*,[^,]*,[^,]*,[^,]*/badger6,4,2,,,,,,,,/' "$setups" >"$scratch/none.csv"
expect 0 add "$file" 2023-03-01 "$scratch/none.csv" "$scratch/sweep.csv"
expect 0 engine "$file" heron4
awk '$1 == "Drift" {degrees = $6 + 0; seen = 1} END {exit !(seen && degrees < -0.28 && degrees > -0.32)}' \
    "$scratch/stdout" || { complain "the drift is not -0.3 degrees a year"; cat "$scratch/stdout"; }
expect 0 near "$file" --from 2023-03-01 --months 24
[ "$(wc -l <"$scratch/stdout")" -eq 3 ] || complain "rows of the table"
head -2 "$scratch/stdout" | tail -1 | grep -q '^"heron4",4,' || complain "heron4 is not first"
tail -1 "$scratch/stdout" | grep -q '^"badger6",1,.*,,,,,,,,$' || complain "no window, and a probability"
[ -z "${PYTHON3-}" ] || "$PYTHON3" -B "${srcdir:-.}/tests/programs/history_check.py" "$dialarc" "$file" || complain "numbers"
# Of the one engine with a window: its disc stands in the window drawn where its lift does,
# and the ring of the last day as far on as the drift goes in four months.
expect 0 near "$file" --from 2023-03-01 --months 4
cp "$scratch/stdout" "$scratch/near.csv"
expect 0 near "$file" --from 2023-03-01 --months 4 --page "$scratch/near.html"
sed -nE 's/.*class="band" x="([^"]+)".* width="([^"]+)".*/band \1 \2/p; s/.*class="(with|ring)" cx="([^"]+)".*/\1 \2/p' \
    "$scratch/near.html" | awk -F'[ ,]' 'NR == FNR {if (/heron4/) {lift = $3; drift = $5; low = $9; high = $10}; next}
        $1 == "band" {x = $2; wide = $3; bands++}
        $1 == "with" {disc = ($2 - x) / wide}
        $1 == "ring" {ring = ($2 - x) / wide}
        END {disc -= (lift - low) / (high - low); ring -= (lift + drift / 3 - low) / (high - low)
             exit !(bands == 1 && disc ^ 2 < 1e-4 && ring ^ 2 < 1e-3)}' "$scratch/near.csv" - ||
    { complain "the picture is not the table"; cat "$scratch/near.csv"; }
grep -q "no window is known" "$scratch/near.html" || complain "an engine without a window"
expect 2 near "$file" --page "$scratch/near.html" --out "$scratch/other"
says "goes with neither --out nor --for-spreadsheet" stderr
expect 0 engine "$file" heron4 --since 2023-01-01
says "not known" stdout

echo "renewed in every column"
# A day that was added with another sweep, window, dial and hand is as if that had never been.
one() { awk -F, -v OFS=, -v from="$1" 'NR == 1 {print} $1 == from {$1 = "morning"; print}' "$demo/sweeps.csv"; }
one "badger one way" >"$scratch/first.csv"
one "badger misread" >"$scratch/second.csv"
sed 's/,bench,/,other,/' "$setups" >"$scratch/other.csv"
sed 's/,1.05,1.09,tdc,/,1.15,1.19,mark,/; 1s/$/,window_crank_deg/; 2,$s/$/,-0.5/' "$setups" >"$scratch/window.csv"
first=(2024-01-10 "$scratch/other.csv" "$scratch/first.csv")
second=(--hand "an apprentice" --dials "$demo/dials.csv" 2024-01-10 "$scratch/window.csv" "$scratch/second.csv")
for name in renewed first; do
    expect 0 add "$scratch/$name.db" "${first[@]}"
    ! command -v sqlite3 >/dev/null || sqlite3 "$scratch/$name.db" "UPDATE sweeps SET library_version = '0', decision_rule = ''"
done
expect 0 add "$scratch/renewed.db" "${second[@]}"
says "0 sweeps added, 1 renewed" stdout
expect 0 add "$scratch/fresh.db" "${second[@]}"
if [ -n "${PYTHON3-}" ] && "$PYTHON3" -c 'import sqlite3' 2>/dev/null && command -v sqlite3 >/dev/null; then
    "$PYTHON3" - "$scratch"/{renewed,fresh,first}.db <<'END' || complain "a renewed sweep"
import sqlite3, sys
renewed, fresh, first = (sqlite3.connect(name).execute("SELECT * FROM sweeps").fetchall()
                         for name in sys.argv[1:])
print("renewed:", renewed, "fresh:", fresh, "first:", first, sep="\n") if renewed != fresh else None
alike = [i for i in range(3, len(first[0])) if first[0][i] == fresh[0][i]]
print("columns that would not show it:", alike)
sys.exit(renewed != fresh or len(fresh) != 1 or alike != [])
END
fi

echo "queries of the README"
if command -v sqlite3 >/dev/null; then
    sed -n '/^```sql/,/^```/{/^```/d;p}' "${srcdir:-.}/README.md" >"$scratch/queries.sql"
    cp "$file" "$scratch/copy.db"
    sqlite3 -bail "$scratch/copy.db" <"$scratch/queries.sql" >"$scratch/stdout" || complain "a query"
    [ "$(grep -c '^20..-03-01|morning|' "$scratch/stdout")" -eq 4 ] || complain "settings over time by SQL"
    grep -q '^heron4|2023-03-01|' "$scratch/stdout" || complain "near a limit by SQL"
else
    echo "skipped: no sqlite3"
fi

echo "set anew"
sweep_at -2 >"$scratch/sweep.csv"
expect 0 add "$file" 2024-03-01 "$setups" "$scratch/sweep.csv"
expect 0 engine "$file" heron4
says "set anew" stdout
[ -z "${PYTHON3-}" ] || "$PYTHON3" -B "${srcdir:-.}/tests/programs/history_check.py" "$dialarc" "$file" || complain "numbers when scattered"

grep -q '^"heron4",5,.*,set_anew$' <("$dialarc" history near "$file" --from 2024-03-01) || complain "a jump without a word"
expect 2 anew "$file" heron5 2024-02-01
says "the history holds no usable sweep of it" stderr
expect 2 anew "$file" heron4 yesterday
expect 0 anew "$file" heron4 2024-02-01
says "2024-02-01: heron4 was set anew" stdout
expect 0 engine "$file" heron4
[ "$(grep -c ' morning$' "$scratch/stdout")" -eq 1 ] || complain "sweeps from before it was set anew"

echo "what is not known is blank"
# One sweep; the same entered twice; two of one week: none tells what a year will bring.
file=$scratch/little.db
sweep_at 0 >"$scratch/sweep.csv"
expect 0 add "$file" 2024-03-01 "$setups" "$scratch/sweep.csv"
blank() {
    expect 0 near "$file" --from 2024-03-08 --months 1200
    grep -q "^\"heron4\",$1,.*,,too_little$" "$scratch/stdout" || { complain "$2"; cat "$scratch/stdout"; }
}
blank 1 "a probability from one sweep"
sed 's/morning/evening/' "$scratch/sweep.csv" >"$scratch/twice.csv"
expect 0 add "$file" 2024-03-01 "$setups" "$scratch/twice.csv"
blank 1 "a sweep entered twice"
sweep_at 0.05 >"$scratch/sweep.csv"
expect 0 add "$file" 2024-03-08 "$setups" "$scratch/sweep.csv"
blank 2 "a probability from one week"

echo "a history of before"
if command -v sqlite3 >/dev/null; then
    cp "$scratch/drift.db" "$scratch/before.db"
    sqlite3 "$scratch/before.db" "ALTER TABLE sweeps DROP COLUMN lift_shared_sd_mm; DROP TABLE anew"
    expect 0 near "$scratch/before.db" --from 2024-03-01
    expect 0 add "$scratch/before.db" 2024-03-09 "$setups" "$scratch/sweep.csv"
    expect 0 anew "$scratch/before.db" heron4 2024-03-09
    expect 0 near "$scratch/before.db" --from 2024-03-10
    grep -q '^"heron4",1,' "$scratch/stdout" || complain "a history of before, set anew"
fi

# One as it was before it kept who measured, the dial and the rule: read as it is; then all
# that it held is there still, and blank beside it what was not kept. It says what it was.
old="SELECT setup, sweep, taken_on, verdict, lift_mm, lift_u_mm, rate_mm_per_crank_deg, slack_crank_deg,
    slack_u_crank_deg, advance_error_crank_deg, turn_pump_deg, probability_in, lift_low_mm, lift_high_mm,
    readings_used, readings_rejected, findings, lift_shared_sd_mm FROM sweeps WHERE taken_on = '2025-02-28'"
if command -v sqlite3 >/dev/null; then
    file=$scratch/old.db
    sqlite3 -bail "$file" <"${srcdir:-.}/tests/programs/history_before.sql" || complain "the history of before"
    cp "$file" "$scratch/before.db"
    sqlite3 "$file" "$old" >"$scratch/rows"
    expect 0 near "$file" --from 2025-03-01
    grep -q '^"heron4",3,' "$scratch/stdout" || complain "near, of a history of before"
    expect 0 sheet "$file" heron4 --sweep "heron good"
    cp "$scratch/stdout" "$scratch/sheet"
    for text in "Statement     none: by which rule is not recorded." "at a crank angle that is not recorded: 0.894 mm" \
        "Dial          not recorded"; do says "$text" sheet; done
    cmp "$file" "$scratch/before.db" || complain "reading changes a history of before"
    cp "$file" "$scratch/anew.db"
    expect 0 anew "$scratch/anew.db" heron4 2025-03-01
    expect 0 add "$file" 2026-02-28 "$setups" "$scratch/sweep.csv"
    says "2026-02-28: 1 sweep added, 0 renewed" stdout
    for name in old anew; do
        sqlite3 "$scratch/$name.db" "$old" | cmp - "$scratch/rows" || complain "rows of a history of before: $name"
        [ "$(sqlite3 "$scratch/$name.db" "SELECT count(*) FROM anew WHERE setup = 'badger6'")" = 1 ] || complain "what was set anew: $name"
    done
    expect 0 sheet "$file" heron4 --sweep "heron good" --day 2025-02-28
    cmp "$scratch/stdout" "$scratch/sheet" || complain "the sheet of a sweep of before"
    expect 0 add "$scratch/new.db" 2026-02-28 "$setups" "$scratch/sweep.csv"
    for name in old new; do "$dialarc" history sheet "$scratch/$name.db" heron4 --day 2026-02-28 >"$scratch/$name"; done
    cmp "$scratch/old" "$scratch/new" || complain "sheets from a history of before and a new one"
    rm "$scratch/new.db"
else
    echo "skipped: no sqlite3"
fi

echo "job sheets"
file=$scratch/history.db
expect 0 sheet "$file" heron4
[ "$(grep '^JOB SHEET\|^  End of' "$scratch/stdout" | sed 's/.* sheet//i' | tr -d .)" = " heron4 / heron early / 2024-01-10
 heron4 / heron early / 2024-01-10
 heron4 / heron good / 2024-01-10
 heron4 / heron good / 2024-01-10
 heron4 / heron late / 2024-01-10
 heron4 / heron late / 2024-01-10" ] || { complain "a sheet a sweep"; cat "$scratch/stdout"; }
expect 0 sheet "$file" heron4 --sweep "heron good" --shop "Invented shop" --customer "Invented customer" --literature "invented manual"
tr -s ' \n' ' ' <"$scratch/stdout" >"$scratch/sheet"
for text in "Shop Invented shop" "Customer Invented customer" "literature: invented manual" "Measured on 2024-01-10" \
    "Measured by the apprentice" "Dial bench, calibrated on 2026-01-12, certificate invented 17" \
    "dialarc $("$dialarc" --version | sed -n '1s/dialarc //p')" "coverage factor k = 1.96" \
    "Requirement lift at TDC from 0.880 to 0.920 mm" "Statement CONFORMS:" "of engine heron4 as it was set when sweep heron good" \
    "probability of at least 97.5 %" "at most 2.5 %" "one of 3 sweeps of this engine on that day"; do says "$text" sheet; done
[ "$(grep -c ____ "$scratch/stdout")" -eq 2 ] || complain "lines to fill in: numbers of engine and pump, signature"
# The numbers are those of the results table, and hang together: U is 1.96 times the root of
# the sum of squares (JCGM 100:2008, 5.1.2 and 6.2.1), and the probability that of a normal
# distribution.
[ -z "${PYTHON3-}" ] || "$PYTHON3" -B - "$scratch/stdout" <("$dialarc" assess --dials "$demo/dials.csv" "$setups" <(grep "^sweep\|^heron good" "$demo/sweeps.csv")) <<'END' || complain "numbers of a sheet"
import csv, math, re, statistics, sys
text = open(sys.argv[1]).read()
row = next(r for r in csv.DictReader(open(sys.argv[2])) if r["sweep"] == "heron good")
lift, u, chance = (float(re.search(p, text)[1]) for p in
                   (r"at TDC: ([\d.]+) mm", r"U = ([\d.]+) mm", r"in the window: ([\d.]+) %"))
*parts, total = map(float, re.findall(r"(?m)^    \S.* ([\d.]+) mm$", text))
normal = statistics.NormalDist(float(row["lift_mm"]), float(row["lift_u_mm"]) / 1.959964)
wanted = 100 * (normal.cdf(0.92) - normal.cdf(0.88))
print(lift, u, chance, parts, total, wanted)
sys.exit(not (len(parts) == 6 and abs(lift - float(row["lift_mm"])) < 0.00051 and
              abs(u - float(row["lift_u_mm"])) < 0.00051 and
              abs(math.hypot(*parts) - total) < 0.00013 and abs(1.96 * total - u) < 0.0006 and
              abs(chance - wanted) < 0.11))
END
for pair in "heron early:DOES NOT CONFORM: the lift lies above" "heron late:DOES NOT CONFORM: the lift lies below"; do
    expect 0 sheet "$file" heron4 --sweep "${pair%%:*}"
    says "${pair#*:}" stdout
done
expect 0 sheet "$file" otter4
says "or a mark is meant was not stated" stdout
expect 0 sheet "$file" badger6 --sweep "badger one way"
says "none: the uncertainty spans a limit of the window." stdout
expect 0 sheet "$file" badger6 --sweep "badger short"
says "none: the sweep cannot be used." stdout
says "at TDC cannot be told from these readings" stdout
! grep -q "[0-9] mm$\|nan" "$scratch/stdout" || complain "a number of an unusable sweep"
sweep_at 0 >"$scratch/sweep.csv"
sed 's/,tdc,/,mark,/; 1s/$/,window_crank_deg/; 2,$s/$/,-2.5/' "$setups" >"$scratch/mark.csv"
expect 0 add "$scratch/mark.db" 2026-02-28 "$scratch/mark.csv" "$scratch/sweep.csv"
expect 0 sheet "$scratch/mark.db" heron4
says "lift at 2.5 crank degrees before the mark from 0.880" stdout
says "meeting of the mark" stdout
! grep -q "was not stated" "$scratch/stdout" || complain "what was stated is said to be assumed"
says "bench; no certificate is recorded" stdout
! grep -q "count together" "$scratch/stdout" || complain "other sweeps where there are none"
expect 0 add "$scratch/mark.db" 2026-03-01 "$scratch/none.csv" <(sed 's/morning/other engine/' "$scratch/sweep.csv" | sed 's/,heron4,/,badger6,/')
expect 0 sheet "$scratch/mark.db" badger6
says "none: no window was given" stdout
! grep -q "Decision rule" "$scratch/stdout" || complain "a rule without a window"
expect 0 add "$scratch/mark.db" 2026-03-02 "$setups" <(sed 's/morning/evening/' "$scratch/sweep.csv")
expect 0 sheet "$scratch/mark.db" heron4
says "JOB SHEET heron4 / evening / 2026-03-02" stdout
expect 0 sheet "$scratch/mark.db" heron4 --sweep morning
says "JOB SHEET heron4 / morning / 2026-02-28" stdout
expect 2 sheet "$file" nobody
says "nobody: the history holds no sweep of it" stderr
expect 2 sheet "$file" heron4 --day 2025-02-28
says "heron4: the history holds no such sweep of it" stderr
expect 2 sheet "$file" heron4 --day yesterday
says "yesterday: is no day" stderr
expect 2 sheet "$file" heron4 --page "$scratch/x.html" --out "$scratch/x"
expect 2 sheet "$scratch/none.db" heron4
expect 0 sheet --out "$scratch/out.txt" "$file" heron4
"$dialarc" history sheet "$file" heron4 | cmp - "$scratch/out.txt" || complain "--out of sheet"

echo "two writers"
for round in 1 2 3; do
    file=$scratch/two$round.db
    writers=""
    for writer in 1 2; do
        { sweep_at 0; for n in 1 2 3 4 5 6; do sweep_at 0 | sed "1d; s/morning/$writer $n/"; done; } >"$scratch/w$writer.csv"
        "$dialarc" history add "$file" 2024-01-10 "$setups" "$scratch/w$writer.csv" >"$scratch/said$writer" 2>&1 &
        writers="$writers $!"
    done
    for writer in $writers; do wait "$writer" || complain "a writer failed: $(cat "$scratch"/said?)"; done
    [ "$("$dialarc" history engine "$file" heron4 | grep -c ' in ')" -eq 13 ] || complain "rows of two writers"
    sort "$scratch"/said? | cmp -s - <(printf '2024-01-10: %s\n' "6 sweeps added, 1 renewed" "7 sweeps added, 0 renewed") ||
        complain "two writers: $(cat "$scratch"/said?)"
done
if [ -n "${PYTHON3-}" ] && "$PYTHON3" -c 'import sqlite3' 2>/dev/null; then
    "$PYTHON3" - "$file" "$scratch/locked" <<'END' &
import pathlib, sqlite3, sys, time
db = sqlite3.connect(sys.argv[1], isolation_level=None)
db.execute("BEGIN IMMEDIATE")
pathlib.Path(sys.argv[2]).touch()
time.sleep(2)
db.execute("DELETE FROM sweeps WHERE sweep = '1 1'")
db.execute("COMMIT")
END
    holder=$!
    while [ ! -e "$scratch/locked" ] && kill -0 $holder 2>/dev/null; do sleep 0.1; done
    expect 0 add "$file" 2024-01-10 "$setups" "$scratch/w1.csv"
    says "1 sweep added, 6 renewed" stdout
    wait $holder || complain "the other writer"
else
    echo "skipped: no python3 with sqlite3"
fi

echo "what cannot be done"
"$dialarc" history near "$file" --from 2024-01-10 >"$scratch/near"
{ cat "$scratch/w1.csv"; echo "late,heron4,x,0.1,"; } >"$scratch/bad.csv"
expect 2 add "$file" 2025-01-10 "$setups" "$scratch/bad.csv"
expect 2 add "$scratch/new.db" 2025-01-10 "$setups" "$scratch/bad.csv"
[ ! -e "$scratch/new.db" ] || complain "a history with nothing in it"
says "bad.csv, line" stderr
"$dialarc" history near "$file" --from 2024-01-10 | cmp - "$scratch/near" || complain "half of a table was kept"
(
    ulimit -f 8
    "$dialarc" history add "$file" 2025-01-10 "$setups" "$demo/sweeps.csv" 2>"$scratch/stderr"
    [ $? -eq 2 ]
) || complain "a file that must not grow"
"$dialarc" history near "$file" --from 2024-01-10 | cmp - "$scratch/near" || complain "half of a day was kept"
for day in 2024-02-30 2024-1-1 01.02.2024 today "" 2024-01-10T00:00; do
    expect 2 add "$file" "$day" "$setups" "$scratch/w1.csv"
    says "is no day" stderr
done
expect 2 near "$file" --from 2024-02-30
expect 2 engine "$file" heron4 --since 2024-02-30
expect 2 engine "$file" nobody
says "nobody: the history holds no usable sweep" stderr
expect 2 near "$scratch/none.db"
[ ! -e "$scratch/none.db" ] || complain "looking makes a file"
expect 2 near "$setups"
says "not a database" stderr
expect 2 add "$setups" 2024-01-10 "$setups" "$scratch/w1.csv"
if command -v sqlite3 >/dev/null; then
    sqlite3 "$scratch/other.db" 'CREATE TABLE t (x)'
    expect 2 add "$scratch/other.db" 2024-01-10 "$setups" "$scratch/w1.csv"
    says "is the database of another program" stderr
else
    echo "skipped: no sqlite3"
fi
for name in "" :memory: file:shop.db "file:shop.db?mode=memory"; do
    for command in add near; do
        words=("$name")
        [ $command = near ] || words+=(2024-01-10 "$setups" "$scratch/w1.csv")
        expect 2 $command "${words[@]}"
        says "does not name a file; put ./ in front if it is the name of one" stderr
    done
done
cp "$setups" "$scratch/setups.csv"
(cd "$scratch" && "$dialarc" history add ./:memory: 2024-01-10 setups.csv w1.csv >stdout 2>stderr)
[ -s "$scratch/:memory:" ] || complain "a file that is called :memory:"

echo "a file that is damaged"
cp "$file" "$scratch/whole.db"
size=$(stat -c %s "$file")
for cut in 1 7 1000 4095 4096; do
    head -c -"$cut" "$scratch/whole.db" >"$scratch/cut.db"
    cp "$scratch/cut.db" "$scratch/before.db"
    expect 2 engine "$scratch/cut.db" heron4
    says "cut.db: the file is damaged: it has been cut off" stderr
    expect 2 near "$scratch/cut.db"
    says "the file is damaged" stderr
    expect 2 add "$scratch/cut.db" 2025-01-10 "$setups" "$scratch/w1.csv"
    says "the file is damaged" stderr
    cmp "$scratch/cut.db" "$scratch/before.db" || complain "a damaged file was written to"
done
{ head -c $((size - 4096)) "$scratch/whole.db"; head -c 4096 /dev/zero; } >"$scratch/cut.db"
expect 2 near "$scratch/cut.db"
says "the file is damaged" stderr
: >"$scratch/cut.db"
expect 2 near "$scratch/cut.db"
says "holds no history" stderr

echo "usage"
expect 2
expect 2 "$file"
expect 2 nonsense "$file"
expect 2 add "$file" 2024-01-10 "$setups"
expect 2 engine "$file"
expect 2 near "$file" heron4
for months in 0 -1 x 1.5 "" 1201; do expect 2 near "$file" --months "$months"; done
expect 2 near "$file" --months
expect 2 near "$file" --nonsense 1
expect 0 --help
"$dialarc" history near "$file" >/dev/full 2>/dev/null
[ $? -eq 2 ] || complain "a full disk goes unnoticed"
# What was kept is not said to be lost because the line that says so was.
"$dialarc" history add "$file" 2025-02-01 "$setups" "$scratch/w1.csv" >/dev/full 2>"$scratch/stderr"
[ $? -eq 1 ] || complain "status of an addition that cannot be told"
says "standard output: cannot be written, but the sweeps are kept" stderr
says "2025-02-01: 7 sweeps added, 0 renewed" stderr
expect 0 add "$file" 2025-02-01 "$setups" "$scratch/w1.csv"
says "2025-02-01: 0 sweeps added, 7 renewed" stdout

echo "out"
expect 0 near --from 2025-02-01 --out "$scratch/out.csv" "$file"
[ ! -s "$scratch/stdout" ] || complain "--out wrote to standard output too"
"$dialarc" history near --from 2025-02-01 "$file" | cmp - "$scratch/out.csv" || complain "--out of near"
expect 0 engine --out "$scratch/out.txt" "$file" heron4
"$dialarc" history engine "$file" heron4 | cmp - "$scratch/out.txt" || complain "--out of engine"

[ $failed -eq 0 ] && echo "history behaves"
exit $failed
