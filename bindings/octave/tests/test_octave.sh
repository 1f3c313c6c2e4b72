#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The module for Octave where it has been built, and the example of its README.
set -euo pipefail
srcdir=${srcdir:-.}
. "$srcdir/bindings/kit.sh"
export srcdir LD_LIBRARY_PATH="$PWD/.libs:${LD_LIBRARY_PATH-}"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
vectors "$work/vectors.csv"
# What Octave writes to standard error as it ends says nothing.
octave() {
    "$OCTAVE" --quiet --no-init-file --no-history --path "$PWD/bindings/octave" "$1" \
        2>"$work/errors" ||
        { cat "$work/errors"; return 1; }
}
block octave "$srcdir/bindings/octave/README.md" >"$work/example.m"
octave "$work/example.m" | same_as_readme "$srcdir/bindings/octave/README.md"
octave "$srcdir/bindings/octave/tests/test_octave.m"
