#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# What configure has found against errors in memory is in the library and the program as
# they were built: full RELRO, a stack that is no code, and, where the compiler has them,
# guards of the stack, checked copies, and marks of where a jump may end.
set -u
export LC_ALL=C
flags=$(sed -n 's/^HARDEN_CFLAGS = //p;s/^HARDEN_LDFLAGS = //p' Makefile)
if [ -z "${flags// /}" ]; then
    echo "skipped: configured without hardening"
    exit 77
fi
command -v readelf >/dev/null || { echo "skipped: no readelf"; exit 77; }
program=examples/programs/dialarc
[ ! -e examples/programs/.libs/dialarc ] || program=examples/programs/.libs/dialarc
built=("$program")
for file in .libs/libdialarc.so bindings/python/.libs/_dialarc.so bindings/lua/.libs/dialarc.so \
    bindings/java/.libs/libdialarc_java.so bindings/csharp/.libs/libdialarc_csharp.so; do
    [ ! -e "$file" ] || built+=("$file")
done
status=0

# holds FLAG FILE WHAT PATTERN : readelf's words about the file, when the flag is in use
holds() {
    [[ $flags == *"$1"* ]] || return
    readelf -W -l -d -n -s "$2" 2>/dev/null | grep -qE "$4" || {
        echo "$2: no $3 ($1)"
        status=1
    }
}

for file in "${built[@]}"; do
    holds -z,relro "$file" "segment that is read-only after linking" 'GNU_RELRO'
    holds -z,now "$file" "binding at the start" 'BIND_NOW|FLAGS.* NOW'
    holds -z,noexecstack "$file" "stack without code" 'GNU_STACK .* RW +0x'
    ! readelf -W -d "$file" | grep -q TEXTREL || { echo "$file: code that is written to when it is loaded"; status=1; }
done
for file in "$program" .libs/libdialarc.so; do
    [ -e "$file" ] || continue
    holds stack-protector "$file" "guard of the stack" '__stack_chk_fail'
done
# the C library's own beginnings may lack them, and then the whole has none
holds cf-protection "$(find lib/core -name finite.o | head -n 1)" "marks of jumps" 'IBT.*SHSTK'
holds FORTIFY "$program" "checked call" '__[a-z]+_chk'
[ $status -ne 0 ] || echo "${#built[@]} files hold: $flags"
exit $status
