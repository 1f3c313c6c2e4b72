#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Fast math, under which NaN is lost, is refused: by configure, and by the sources for
# those who build them in their own way.
set -u
top=$(cd "${srcdir:-.}" && pwd)
read -ra cc <<<"${CC:-gcc}"
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
status=0
complain() { echo "FAILED: $*"; status=1; }

for flag in -ffast-math -Ofast -ffinite-math-only; do
    "${cc[@]}" -std=c11 $flag -I"$top/include" -I"$top/lib" -fsyntax-only "$top/lib/dial/dial.c" \
        2>"$scratch/said" && complain "compiled with $flag"
    grep -q 'relies on NaN and infinity' "$scratch/said" || complain "no reason for $flag"
done
"${cc[@]}" -std=c11 -O3 -I"$top/include" -I"$top/lib" -fsyntax-only "$top/lib/dial/dial.c" || complain "-O3"

[ ! -e "$top/config.status" ] || { echo "built in the source folder: no configure"; exit $status; }
cd "$scratch" || exit 1
"$top/configure" --quiet --disable-python CC="${cc[*]}" CFLAGS='-O2 -ffast-math' >log 2>&1 &&
    complain "configured with -ffast-math"
grep -q 'CFLAGS ask for fast math' log || { complain "configure gave no reason"; cat log; }
exit $status
