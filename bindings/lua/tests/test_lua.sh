#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The module for Lua where it has been built, and the examples of its README.
. "${srcdir:-.}/bindings/shared/kit.sh"
readme=$srcdir/bindings/lua/README.md
export LUA_CPATH="$PWD/bindings/lua/.libs/?.so"
block lua "$readme" >"$work/example.lua"
block lua "$readme" 2 >"$work/tables.lua"
"$LUA" "$work/example.lua" | same_as_readme "$readme"
(cd "$here" && "$LUA" "$work/tables.lua" >told)
"$LUA" "$srcdir/bindings/lua/tests/test_lua.lua"
same_results
"$LUA" "$srcdir/bindings/lua/tests/hostile.lua"
