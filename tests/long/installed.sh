#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# After make install: a client finds header and library by pkg-config alone, builds
# against the shared and the static library as C99, C11 and C++, and runs; another one by
# CMake; and the program dialarc works, with its manual, completion and demonstration.
# Called by make installcheck with PKG_CONFIG_PATH, BINDIR, DATADIR, DOCDIR, LIBDIR,
# MANDIR, VERSION, CC, CXX and srcdir.
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

# with_cmake VERSION : a client by find_package()
with_cmake() {
    rm -rf "$scratch/cmake" && mkdir "$scratch/cmake"
    cp "$srcdir/tests/long/installed.c" "$scratch/cmake/client.c"
    cat >"$scratch/cmake/CMakeLists.txt" <<END
cmake_minimum_required(VERSION 3.5)
project(client C)
find_package(dialarc $1 REQUIRED)
add_executable(client client.c)
target_compile_definitions(client PRIVATE EXPECTED_VERSION="$VERSION")
target_link_libraries(client PRIVATE dialarc::dialarc)
END
    CC="${cc[*]}" cmake -S "$scratch/cmake" -B "$scratch/cmake/build" \
        -Ddialarc_DIR="$LIBDIR/cmake/dialarc" >"$scratch/log" 2>&1 && cmake --build "$scratch/cmake/build" >>"$scratch/log" 2>&1
}
if ! command -v cmake >/dev/null; then
    echo "skipped: no cmake"
else
    for version in "" "${VERSION%.*}" "$VERSION EXACT"; do
        with_cmake "$version" || { cat "$scratch/log"; exit 1; }
        LD_LIBRARY_PATH=$LIBDIR "$scratch/cmake/build/client"
    done
    for version in 99 "${VERSION%.*}.999"; do
        ! with_cmake "$version" || { echo "CMake takes $VERSION for $version"; exit 1; }
        grep -q "compatible with requested version" "$scratch/log"
    done
    echo "CMake: good"
fi

export LD_LIBRARY_PATH=$LIBDIR
[ "$("$BINDIR/dialarc" --version | head -1)" = "dialarc $VERSION" ]
"$BINDIR/dialarc" round "$DOCDIR/demo/setups.csv" "$DOCDIR/demo/rounds.csv" >"$scratch/page"
grep -q "high pressure" "$scratch/page"
"$BINDIR/dialarc" assess "$DOCDIR/demo/setups.csv" "$DOCDIR/demo/sweeps.csv" >"$scratch/results" 2>"$scratch/told" || [ $? -eq 1 ]
[ "$(wc -l <"$scratch/results")" -eq 8 ]
cmp "$srcdir/examples/embed.c" "$DOCDIR/embed.c"
for page in dialarc dialarc-assess dialarc-cam dialarc-history dialarc-lobes dialarc-pluck dialarc-round dialarc-what-if; do
    [ -s "$MANDIR/man1/$page.1" ]
done
bash -n "$DATADIR/bash-completion/completions/dialarc"
echo "the program dialarc and what belongs to it: good"
