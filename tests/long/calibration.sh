#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The calibration programs, run as the committed table says that they were, must print that
# table: each number to one unit of its last digit, which libraries may round differently.
# Lines of the table that begin with # are not theirs. With arguments, of calibrate, its
# part is printed and compared with nothing.
set -euo pipefail
table=${srcdir:-.}/tests/calibration.txt
[ $# -eq 0 ] || exec tests/long/calibrate "$@"
read -r _ known learned <"$table"
made=$(mktemp)
wanted=$(mktemp)
trap 'rm -f "$made" "$wanted"' EXIT
{
    tests/long/calibrate "$known" "$learned"
    # shellcheck disable=SC2046 # three words
    tests/long/calibrate_real $(sed -n 's/^calibrate_real //p' "$table")
} | tee "$made"
grep -v '^#' "$table" >"$wanted"
awk '
function digits(x) { return x ~ /\./ ? length(x) - index(x, ".") : 0 }
FNR == NR { want[FNR] = $0; lines = FNR; next }
{
    n = split(want[FNR], a); m = split($0, b)
    differs = n != m
    for (k = 1; k <= n && !differs; k++)
        if (a[k] != b[k])
            differs = a[k] + 0 != a[k] || (a[k] - b[k]) ^ 2 > (1.5 * 10 ^ -digits(a[k])) ^ 2
    if (differs) { print "calibration.txt has: " want[FNR]; bad = 1 }
}
END { exit bad || FNR != lines }' "$wanted" "$made" || { echo "not the table of calibration.txt"; exit 1; }
echo "this is the table of calibration.txt"
