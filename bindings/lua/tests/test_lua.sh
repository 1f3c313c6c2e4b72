#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The module for Lua where it has been built, and the example of its README.
set -euo pipefail
srcdir=${srcdir:-.}
. "$srcdir/bindings/kit.sh"
export srcdir LUA_CPATH="$PWD/bindings/lua/.libs/?.so"
export LD_LIBRARY_PATH="$PWD/.libs:${LD_LIBRARY_PATH-}"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
vectors "$work/vectors.csv"
block lua "$srcdir/bindings/lua/README.md" >"$work/example.lua"
"$LUA" "$work/example.lua" | same_as_readme "$srcdir/bindings/lua/README.md"
"$LUA" "$srcdir/bindings/lua/tests/test_lua.lua"
