#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The module for Octave where it has been built, and the example of its README.
. "${srcdir:-.}/bindings/shared/kit.sh"
# What Octave writes to standard error as it ends says nothing.
octave() {
    "$OCTAVE" --quiet --no-init-file --no-history --path "$PWD/bindings/octave" "$1" \
        2>"$work/errors" ||
        { cat "$work/errors"; return 1; }
}
block octave "$srcdir/bindings/octave/README.md" >"$work/example.m"
octave "$work/example.m" | same_as_readme "$srcdir/bindings/octave/README.md"
octave "$srcdir/bindings/octave/tests/test_octave.m"
same_results
