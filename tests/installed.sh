#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# After make install: a client finds header and library by pkg-config alone, builds
# against the shared and the static library, and runs. Called by make installcheck with
# PKG_CONFIG_PATH, LIBDIR, VERSION, CC and srcdir.
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
build() { # OUTPUT FLAGS...
    "${cc[@]}" -std=c11 -DEXPECTED_VERSION="\"$VERSION\"" "${cflags[@]}" \
        "$srcdir/tests/installed.c" -o "$scratch/$1" "${@:2}"
}

if [ -e "$LIBDIR/libdialarc.so" ]; then
    build shared "${shared[@]}"
    LD_LIBRARY_PATH=$LIBDIR "$scratch/shared"
fi
if [ -e "$LIBDIR/libdialarc.a" ]; then
    build static "${static[@]/#-ldialarc/$LIBDIR/libdialarc.a}"
    "$scratch/static"
fi
