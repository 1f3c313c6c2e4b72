#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# dialarc pluck as it is used. Skipped where it was built without libsndfile.
set -u
export LC_ALL=C
demo=${srcdir:-.}/examples/demo pluck=("${DIALARC_PROGRAM:-$PWD/examples/programs/dialarc}" pluck)
! "${pluck[@]}" "$demo/pluck.wav" 2>&1 | grep "built without" || exit 77
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
failed=0

complain() { echo "FAILED: $*"; failed=1; }

# expect STATUS ARGUMENTS... : runs the program, keeps what it says
expect() {
    "${pluck[@]}" "${@:2}" >"$scratch/stdout" 2>"$scratch/stderr"
    local got=$?
    [ $got -eq "$1" ] || { complain "status $got, not $1: ${*:2}"; cat "$scratch/stderr"; }
    [ "$1" -eq 0 ] || [ ! -s "$scratch/stdout" ] || complain "output with status $1: ${*:2}"
}

# near LABEL FIELD TRUTH MOST : a number of the page is within MOST of the truth
near() {
    awk -v label="$1" -v field="$2" -v truth="$3" -v most="$4" '
        $1 == label {d = $field - truth; good = (d < 0 ? -d : d) <= most} END {exit !good}' \
        "$scratch/stdout" || { complain "$1 is not $3"; cat "$scratch/stdout"; }
}

# What make_pluck.py put in: 148.3 Hz at 0.35 s. T = 4 m L^2 f^2 by hand.
expect 0 "$demo/pluck.wav"
near Note 2 148.3 0.3
near Heard 3 0.35 0.04
grep -q 'Invented' "$scratch/stdout" || complain "the comment of the recording is not shown"
grep -q 'mains hum' "$scratch/stdout" || complain "no hum"
! grep -q Tension "$scratch/stdout" || complain "a tension without a span"
expect 0 --mass 0.14 --length 152 --want 300 "$demo/pluck.wav"
near Tension 2 284.55 1.5
near Wanted 8 152.27 0.5 # flexible; what the partials tell of bending adds a little
expect 0 "$demo/pluck.wav" --mass 0.14 --length 152 --bending 3000
near Tension 2 283.27 1.5

expect 1 "$demo/no_pluck.wav"
grep -q 'no clear tone' "$scratch/stderr" || complain "no reason given"
expect 1 --low 200 --high 280 "$demo/pluck.wav"

expect 2
expect 2 --nonsense "$demo/pluck.wav"
expect 2 "$demo/pluck.wav" "$demo/pluck.wav"
expect 2 --mass "$demo/pluck.wav"
expect 2 --mass 0,14 --length 152 "$demo/pluck.wav"
expect 2 "$demo/pluck.wav" --mass
expect 0 --out "$scratch/page" "$demo/pluck.wav"
[ ! -s "$scratch/stdout" ] || complain "--out wrote to standard output too"
"${pluck[@]}" "$demo/pluck.wav" | cmp - "$scratch/page" || complain "--out differs from standard output"
"${pluck[@]}" - <"$demo/pluck.wav" >"$scratch/stdout" || complain "standard input"
near Note 2 148.3 0.3
cat "$demo/pluck.wav" | "${pluck[@]}" - >"$scratch/stdout" || complain "a pipe"
near Note 2 148.3 0.3
expect 2 --mass -1 --length 152 "$demo/pluck.wav"
expect 2 --low 1 "$demo/pluck.wav"
expect 2 "$scratch/none.wav"
expect 2 "$demo/rounds.csv"
head -c 44 "$demo/pluck.wav" >"$scratch/cut.wav"
expect 2 "$scratch/cut.wav"
head -c 1000 "$demo/pluck.wav" >"$scratch/short.wav"
expect 2 "$scratch/short.wav"
expect 0 --help
"${pluck[@]}" "$demo/pluck.wav" >/dev/full 2>/dev/null
[ $? -eq 2 ] || complain "a full disk goes unnoticed"

# Recordings are what the generator writes, but for the last bits of its sines.
if [ -n "${PYTHON3-}" ]; then
    "$PYTHON3" "$demo/make_pluck.py" "$scratch" || complain "make_pluck.py"
    expect 0 "$scratch/pluck.wav"
    near Note 2 148.3 0.3
fi
[ $failed -eq 0 ] && echo "pluck behaves"
exit $failed
