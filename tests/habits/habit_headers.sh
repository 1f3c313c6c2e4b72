#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Every header compiles alone: public ones from C11 and C++17, private ones from C11.
set -u
top=${srcdir:-.} status=0
read -ra cc <<<"${CC:-gcc}"
read -ra cxx <<<"${CXX-}"
warnings=(-Wall -Wextra -Wpedantic -Wconversion -Wshadow -Werror)

# The second inclusion shows that the guard works.
try() {
    printf '#include "%s"\n#include "%s"\ntypedef int not_empty;\n' "$1" "$1" |
        "${@:2}" "${warnings[@]}" -I"$top/include" -I"$top/lib" -fsyntax-only - ||
        { echo "$1 does not compile alone with ${*:2}"; status=1; }
}

for header in "$top"/include/dialarc.h "$top"/include/dialarc/*.h; do
    name=${header#"$top/include/"}
    try "$name" "${cc[@]}" -std=c11 -x c
    [ ${#cxx[@]} -eq 0 ] || try "$name" "${cxx[@]}" -std=c++17 -x c++
done
read -ra cflags <<<"${GSL_CFLAGS-}"
for header in "$top"/lib/*/*.h; do
    try "${header#"$top/lib/"}" "${cc[@]}" "${cflags[@]}" -std=c11 -D_POSIX_C_SOURCE=200809L \
        -x c -Wno-unused-function
done
[ ${#cxx[@]} -gt 0 ] || echo "no C++ compiler: C++17 was not tried"
exit $status
