#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The module for C# where it has been built, and the example of its README.
set -euo pipefail
srcdir=${srcdir:-.}
. "$srcdir/bindings/kit.sh"
made=$PWD/bindings/csharp
export srcdir LD_LIBRARY_PATH="$PWD/.libs:$made/.libs:${LD_LIBRARY_PATH-}" MONO_PATH="$made"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
vectors "$work/vectors.csv"
block csharp "$srcdir/bindings/csharp/README.md" >"$work/Example.cs"
"$MCS" -r:"$made/Dialarc.dll" -out:"$work/Example.exe" "$work/Example.cs"
"$MCS" -r:"$made/Dialarc.dll" -out:"$work/Test.exe" "$srcdir/bindings/csharp/tests/TestCsharp.cs"
"$MONO" "$work/Example.exe" | same_as_readme "$srcdir/bindings/csharp/README.md"
"$MONO" "$work/Test.exe"
