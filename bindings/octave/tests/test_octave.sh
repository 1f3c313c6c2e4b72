#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The module for Octave where it has been built, and the examples of its README.
. "${srcdir:-.}/bindings/shared/kit.sh"
made=$PWD/bindings/octave readme=$srcdir/bindings/octave/README.md
# What Octave writes to standard error as it ends says nothing.
octave() {
    "$OCTAVE" --quiet --no-init-file --no-history --path "$made" "$1" 2>"$work/errors" ||
        { cat "$work/errors"; return 1; }
}
block octave "$readme" >"$work/example.m"
block octave "$readme" 2 >"$work/tables.m"
octave "$work/example.m" | same_as_readme "$readme"
(cd "$here" && octave "$work/tables.m" >told)
octave "$srcdir/bindings/octave/tests/test_octave.m"
same_results
octave "$srcdir/bindings/octave/tests/hostile.m"
