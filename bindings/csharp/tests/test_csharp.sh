#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The module for C# where it has been built, and the examples of its README.
. "${srcdir:-.}/bindings/shared/kit.sh"
made=$PWD/bindings/csharp readme=$srcdir/bindings/csharp/README.md
tests=$srcdir/bindings/csharp/tests
export LD_LIBRARY_PATH="$made/.libs:$LD_LIBRARY_PATH" MONO_PATH="$made"
compile() { "$MCS" -r:"$made/Dialarc.dll" -out:"$work/$1.exe" "$2"; }
block csharp "$readme" >"$work/Example.cs"
block csharp "$readme" 2 >"$work/Tables.cs"
compile Example "$work/Example.cs"
compile Tables "$work/Tables.cs"
compile Test "$tests/TestCsharp.cs"
compile Hostile "$tests/TestHostile.cs"
"$MONO" "$work/Example.exe" | same_as_readme "$readme"
(cd "$here" && "$MONO" "$work/Tables.exe" >told)
"$MONO" "$work/Test.exe"
same_results
"$MONO" "$work/Hostile.exe"
