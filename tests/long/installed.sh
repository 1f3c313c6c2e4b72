#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# After make install: a client finds header and library by pkg-config alone, builds
# against the shared and the static library as C99, C11 and C++, and runs. Called by make
# installcheck with PKG_CONFIG_PATH, LIBDIR, VERSION, CC, CXX and srcdir.
: "${srcdir:?}"
set -eu
read -ra cc <<<"$CC"
export PKG_CONFIG_PATH
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

[ "$(pkg-config --modversion dialarc)" = "$VERSION" ]
read -ra cflags <<<"$(pkg-config --cflags dialarc)"
read -ra shared <<<"$(pkg-config --libs dialarc)"
read -ra static <<<"$(pkg-config --libs --static dialarc)"
build() { # COMPILER... -- LIBRARIES...
    local command=()
    while [ "$1" != -- ]; do command+=("$1"); shift; done
    "${command[@]}" -DEXPECTED_VERSION="\"$VERSION\"" -Wall -Wextra -Wpedantic -Werror \
        "${cflags[@]}" "$srcdir/tests/long/installed.c" -x none -o "$scratch/client" "${@:2}"
}

# try COMPILER... : a client of each library there is
try() {
    if [ -e "$LIBDIR/libdialarc.so" ]; then
        build "$@" -- "${shared[@]}"
        LD_LIBRARY_PATH=$LIBDIR "$scratch/client" && echo "$* and the shared library: good"
    fi
    if [ -e "$LIBDIR/libdialarc.a" ]; then
        build "$@" -- "${static[@]/#-ldialarc/$LIBDIR/libdialarc.a}"
        "$scratch/client" && echo "$* and the static library: good"
    fi
}

try "${cc[@]}" -std=c99
try "${cc[@]}" -std=c11
read -ra cxx <<<"${CXX-}"
[ ${#cxx[@]} -eq 0 ] || try "${cxx[@]}" -x c++
