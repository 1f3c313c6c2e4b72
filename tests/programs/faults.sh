#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# A machine without memory, a disk that fails and a kill, at each place where the program
# asks for memory or writes to a file in turn: all is written or nothing, with a word, and
# what the history held is still there. What strikes is preloaded (faults.c). At some of
# the places only where there are many; FAULTS=all (make faults): at every one.
set -u
export LC_ALL=C
demo=$(cd "${srcdir:-.}" && pwd)/examples/demo dialarc=${DIALARC_PROGRAM:-$PWD/examples/programs/dialarc}
[ ! -e examples/programs/.libs/dialarc ] || dialarc=$PWD/examples/programs/.libs/dialarc
export LD_LIBRARY_PATH=$PWD/.libs${LD_LIBRARY_PATH+:$LD_LIBRARY_PATH}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
failed=0 out=$scratch/out.csv
complain() { echo "FAILED: $*"; failed=1; }

grep -q '^CFLAGS = .*fsanitize' Makefile && { echo "skipped: sanitizers have an allocator of their own"; exit 77; }
read -ra cc <<<"${CC:-cc}"
"${cc[@]}" -shared -fPIC -w -o "$scratch/faults.so" "${srcdir:-.}/tests/programs/faults.c" -ldl \
    2>/dev/null || { echo "skipped: nothing can be preloaded here"; exit 77; }

# struck FAULT AT COMMAND... : the status of a command that this strikes
struck() {
    LD_PRELOAD=$scratch/faults.so FAULT=$1 FAULT_AT=$2 FAULT_COUNT=$scratch/count \
        "$dialarc" "${@:3}" >"$scratch/stdout" 2>"$scratch/stderr"
} 2>/dev/null
# calls FAULT COMMAND... : how many places there are to strike at
calls() {
    rm -f "$scratch/count"
    struck "$1" 0 "${@:2}"
    cat "$scratch/count"
}

# step_of PLACES MOST : from one place to the next, so that there are at most so many
step_of() {
    [ "${FAULTS:-}" = all ] && echo 1 || echo $((($1 + $2 - 1) / $2))
}

# each FAULT MOST COMMAND... : a table at $out, wholly new or wholly as before
each() {
    local n at got step before=$scratch/before whole=$scratch/whole
    echo "as before" >"$before"
    rm -f "$out"
    n=$(calls "$1" "${@:3}") && cp "$out" "$whole"
    [ "${n:-0}" -gt 0 ] || { complain "nothing to strike at: $1 ${*:3}"; return; }
    step=$(step_of "$n" "$2")
    for ((at = 1; at <= n; at += step)); do
        cp "$before" "$out"
        struck "$1" $at "${@:3}"
        got=$?
        if [ $got -le 1 ]; then
            cmp -s "$out" "$whole" || complain "$1 $at: status $got, but not all is written: ${*:3}"
        else
            [ $got -eq 2 ] || [ "$1" = kill ] || complain "$1 $at: status $got: ${*:3}"
            cmp -s "$out" "$before" || cmp -s "$out" "$whole" || complain "$1 $at: half of it is written: ${*:3}"
            [ "$1" = kill ] || [ -s "$scratch/stderr" ] || complain "$1 $at: not a word: ${*:3}"
        fi
        [ "$1" = kill ] || [ -z "$(find "$scratch" -name '*.dialarc-*')" ] || complain "$1 $at: left behind: ${*:3}"
        rm -f "$scratch"/*.dialarc-*
    done
    echo "$1: $n places, ${*:3}"
}

# tried FAULT MOST COMMAND... : each, on tables of the demonstration and with --out
tried() { each "$1" "$2" "${@:3}" --out "$out"; }

work=$scratch/work
mkdir "$work"
cp "$demo"/*.csv "$demo"/*.wav "$demo"/reuse/*.csv "$work"
cd "$work" || exit 1
"$dialarc" cam learn --out cams.csv pumps.csv whole_lobes.csv 2>/dev/null
tried memory 10 torque --wrench 400 25
tried memory 10 chart --csv --step 5 setups.csv heron4
tried memory 11 round setups.csv rounds.csv
tried memory 16 assess --threads 1 setups.csv sweeps.csv
tried write 200 assess --threads 1 setups.csv sweeps.csv
tried kill 200 assess --threads 1 setups.csv sweeps.csv
for fault in memory write kill; do
    each $fault 12 assess --threads 1 --page "$out" setups.csv sweeps.csv
done
tried memory 6 assess --threads 2 setups.csv sweeps.csv
tried memory 6 assess --together setups.csv sweeps.csv
tried memory 6 assess --dials dials.csv setups.csv sweeps.csv
tried memory 6 cam check cams.csv pumps.csv ten_readings.csv
tried memory 6 cam compare --csv cams.csv teal5 teal5
tried memory 6 cam learn pumps.csv whole_lobes.csv
tried memory 6 crosscheck setups.csv heron4 witnesses.csv
tried write 12 crosscheck setups.csv heron4 witnesses.csv
tried memory 6 drive 22 44
tried memory 6 errors --csv setups.csv study_sweeps.csv
tried memory 6 form sweep
tried memory 6 gauge --setups setups.csv --sweeps study_sweeps.csv study.csv
tried memory 6 injection setups.csv heron4
tried memory 6 lobes setups.csv turns.csv
tried memory 6 plan --readings 10 setups.csv heron4
tried memory 6 tdc 31.5:30.9 24.2:23.8
tried memory 6 tooth setups.csv heron4 1.74
tried memory 6 what-if --budget setups.csv heron4 tdc_mark_crank_deg=0.5
# libsndfile falls over where it gets none itself
"$dialarc" pluck no_pluck.wav 2>&1 | grep -q "built without" || tried own 12 pluck pluck.wav

# A take that is struck at any reading: the rows before it are there and whole, and the
# next goes on behind them. When a reading was taken is another time each.
printf '%s\n' "-60 0.02" "-50 0.03" "-40 0.06" "-30 0.11" >typed
take=(take --out taken.csv setups.csv heron4)
taken() { cut -d, -f1-5 "$1"; }
rm -f taken.csv
for fault in kill write memory; do
    n=$(calls $fault "${take[@]}" <typed)
    taken taken.csv >whole.csv
    for ((at = 1; at <= n; at += $(step_of "$n" 8))); do
        rm -f taken.csv
        struck $fault $at "${take[@]}" <typed
        got=$? kept=0
        [ ! -e taken.csv ] || { taken taken.csv >kept.csv && kept=$(wc -l <kept.csv); }
        [ "$kept" -eq 0 ] || head -n "$kept" whole.csv | cmp -s - kept.csv || complain "$fault $at: rows of a take are not whole"
        [ $got -gt 1 ] || [ "$kept" -eq 5 ] || complain "$fault $at: a take with status $got has lost readings"
        [ $got -ne 2 ] || [ -s "$scratch/stderr" ] || complain "$fault $at: a take ends without a word"
        tail -n +$((kept > 0 ? kept : 1)) typed | "$dialarc" "${take[@]}" >/dev/null 2>&1
        taken taken.csv | cmp -s - whole.csv || complain "$fault $at: a take that is gone on with differs"
    done
    rm -f taken.csv
    echo "$fault: $n places, take"
done

"$dialarc" history near none.db 2>&1 | grep -q "built without" && exit $failed
day() { "$dialarc" history engine "$1" heron4 2>/dev/null | grep -c '^20'; }
grep '^sweep\|^heron good' sweeps.csv >one.csv # a table is added as a whole, whatever is in it
"$dialarc" history add "$scratch/first.db" 2025-02-28 setups.csv one.csv >/dev/null 2>&1
# One of before, which is brought up to date by what is added to it: there is more to write.
before=$scratch/first.db
if command -v sqlite3 >/dev/null; then
    before=$scratch/before.db
    sqlite3 "$before" <"$demo/../../tests/programs/history_before.sql"
else
    echo "skipped: no sqlite3"
fi
# Columns and rows of a history of before, then what it held.
held() {
    [ "$from" = "$scratch/first.db" ] || sqlite3 "$1" "SELECT (SELECT count(*) FROM pragma_table_info('sweeps')) || '/' || (SELECT count(*) FROM sweeps);
        SELECT setup, sweep, lift_mm, findings, lift_shared_sd_mm FROM sweeps WHERE taken_on = '2025-02-28'; SELECT * FROM anew"
}
for fault in kill write memory; do
    from=$before
    [ $fault != memory ] || from=$scratch/first.db
    fresh=$(day "$from") untouched=$(held "$from")
    cp "$from" "$scratch/shop.db"
    add=(history add "$scratch/shop.db" 2026-02-28 setups.csv one.csv)
    n=$(calls $fault "${add[@]}")
    both=$(day "$scratch/shop.db") renewed=$(held "$scratch/shop.db")
    [ "$both" -gt "$fresh" ] || complain "nothing was added"
    [ $fault = memory ] || [ "$renewed" = "${untouched/18\/7/32\/8}" ] || complain "a history of before was not brought up to date: $renewed"
    step=$(step_of "$n" 24)
    for ((at = 1; at <= n; at += step)); do
        rm -f "$scratch"/shop.db*
        cp "$from" "$scratch/shop.db"
        struck $fault $at "${add[@]}"
        got=$? now=$(day "$scratch/shop.db") kept=$(held "$scratch/shop.db")
        [ "$now" = "$fresh" ] || [ "$now" = "$both" ] || complain "$fault $at: $now rows of the history, not $fresh or $both"
        [ "$kept" = "$untouched" ] || [ "$kept" = "$renewed" ] || complain "$fault $at: half of a history of before is up to date: $kept"
        [ $got -gt 1 ] || [ "$now" = "$both" ] || complain "$fault $at: status $got, but nothing is kept"
        [ $got -ne 2 ] || [ -s "$scratch/stderr" ] || complain "$fault $at: not a word"
    done
    echo "$fault: $n places, history add"
done
tried memory 6 history engine "$scratch/first.db" heron4
tried memory 6 history sheet "$scratch/first.db" heron4
for fault in write kill; do each $fault 6 history sheet --page "$out" "$scratch/first.db" heron4; done
tried memory 6 history near --from 2026-02-28 "$scratch/first.db"
exit $failed
