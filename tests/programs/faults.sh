#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# A machine without memory, a disk that fails and a kill, at each place where the program
# asks for memory or writes to a file in turn: all is written or nothing, with a word, and
# what the history held is still there. What strikes is preloaded (faults.c).
set -u
export LC_ALL=C
demo=${srcdir:-.}/examples/demo dialarc=$PWD/examples/programs/dialarc
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

# each FAULT STEP COMMAND... : a table at $out, wholly new or wholly as before
each() {
    local n at got before=$scratch/before whole=$scratch/whole
    echo "as before" >"$before"
    rm -f "$out"
    n=$(calls "$1" "${@:3}") && cp "$out" "$whole"
    [ "${n:-0}" -gt 0 ] || { complain "nothing to strike at: $1 ${*:3}"; return; }
    for ((at = 1; at <= n; at += $2)); do
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

each memory 1 torque --wrench 400 --out "$out" 25
each memory 1 chart --csv --step 5 --out "$out" "$demo/setups.csv" heron4
each memory 1 round --out "$out" "$demo/setups.csv" "$demo/rounds.csv"
each memory 1 assess --threads 1 --out "$out" "$demo/setups.csv" "$demo/sweeps.csv"
each write 1 assess --threads 1 --out "$out" "$demo/setups.csv" "$demo/sweeps.csv"
each memory 7 assess --threads 1 --page "$out" "$demo/setups.csv" "$demo/sweeps.csv"
each write 5 assess --threads 1 --page "$out" "$demo/setups.csv" "$demo/sweeps.csv"
each kill 5 assess --threads 1 --page "$out" "$demo/setups.csv" "$demo/sweeps.csv"
each kill 1 assess --threads 1 --out "$out" "$demo/setups.csv" "$demo/sweeps.csv"

"$dialarc" history near none.db 2>&1 | grep -q "built without" && exit $failed
day() { "$dialarc" history engine "$1" heron4 2>/dev/null | grep -c '^20'; }
"$dialarc" history add "$scratch/first.db" 2025-02-28 "$demo/setups.csv" "$demo/sweeps.csv" >/dev/null 2>&1
fresh=$(day "$scratch/first.db")
for fault in kill write memory; do
    step=1
    [ $fault != memory ] || step=23
    cp "$scratch/first.db" "$scratch/shop.db"
    add=(history add "$scratch/shop.db" 2026-02-28 "$demo/setups.csv" "$demo/sweeps.csv")
    n=$(calls $fault "${add[@]}")
    both=$(day "$scratch/shop.db")
    [ "$both" -gt "$fresh" ] || complain "nothing was added"
    for ((at = 1; at <= n; at += step)); do
        rm -f "$scratch"/shop.db*
        cp "$scratch/first.db" "$scratch/shop.db"
        struck $fault $at "${add[@]}"
        got=$? now=$(day "$scratch/shop.db")
        [ "$now" = "$fresh" ] || [ "$now" = "$both" ] || complain "$fault $at: $now rows of the history, not $fresh or $both"
        [ $got -gt 1 ] || [ "$now" = "$both" ] || complain "$fault $at: status $got, but nothing is kept"
        [ $got -ne 2 ] || [ -s "$scratch/stderr" ] || complain "$fault $at: not a word"
    done
    echo "$fault: $n places, history add"
done
exit $failed
