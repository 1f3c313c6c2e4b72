#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The module for C# where it has been built, and the example of its README.
. "${srcdir:-.}/bindings/shared/kit.sh"
made=$PWD/bindings/csharp
export LD_LIBRARY_PATH="$made/.libs:$LD_LIBRARY_PATH" MONO_PATH="$made"
block csharp "$srcdir/bindings/csharp/README.md" >"$work/Example.cs"
"$MCS" -r:"$made/Dialarc.dll" -out:"$work/Example.exe" "$work/Example.cs"
"$MCS" -r:"$made/Dialarc.dll" -out:"$work/Test.exe" "$srcdir/bindings/csharp/tests/TestCsharp.cs"
"$MONO" "$work/Example.exe" | same_as_readme "$srcdir/bindings/csharp/README.md"
"$MONO" "$work/Test.exe"
same_results
