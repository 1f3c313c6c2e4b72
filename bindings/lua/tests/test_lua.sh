#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The module for Lua where it has been built, and the example of its README.
. "${srcdir:-.}/bindings/shared/kit.sh"
export LUA_CPATH="$PWD/bindings/lua/.libs/?.so"
block lua "$srcdir/bindings/lua/README.md" >"$work/example.lua"
"$LUA" "$work/example.lua" | same_as_readme "$srcdir/bindings/lua/README.md"
"$LUA" "$srcdir/bindings/lua/tests/test_lua.lua"
same_results
