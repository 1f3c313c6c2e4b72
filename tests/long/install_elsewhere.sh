#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# install_elsewhere.sh ROOT: in a build folder, installs below ROOT with another
# prefix than configure was told, and again by DESTDIR; both put the same files. A client
# and every module that was built are used from there, with nothing set that helps them to
# find the library.
set -eu
root=$1
python=${PYTHON3:-/usr/bin/python3}
run_make() { "${MAKE:-make}" --no-print-directory -s "$@" >install.log 2>&1 || { tail -n 20 install.log; exit 1; }; }
rm -rf "$root"
run_make install prefix="$root/told"
run_make install DESTDIR="$root/staged"
configured=$(sed -n 's/^prefix = //p' Makefile)
diff <(cd "$root/told" && find . -type f | sort) \
    <(cd "$root/staged$configured" && find . -type f | sort)
echo "make install prefix=... and DESTDIR=...: the same $(find "$root/told" -type f | wc -l) files"

unset LD_LIBRARY_PATH
cd "$root"
lib=$root/told/lib
try() {
    local said
    said=$("${@:2}")
    echo "$1: dialarc $said"
}
export PKG_CONFIG_PATH=$lib/pkgconfig
cat >client.c <<'END'
#include <dialarc.h>
#include <stdio.h>
int main(void)
{
    return puts(dialarc_version()) < 0;
}
END
mkdir cmake
cat >cmake/CMakeLists.txt <<'END'
cmake_minimum_required(VERSION 3.5)
project(client C)
find_package(dialarc REQUIRED)
add_executable(client ../client.c)
target_link_libraries(client dialarc::dialarc)
END
# shellcheck disable=SC2046 # options
cc client.c -o client $(pkg-config --cflags --libs dialarc) -Wl,-rpath,"$(pkg-config --variable=libdir dialarc)"
try C ./client
try program "$root/told/bin/dialarc" --version
cmake -S cmake -B cmake/build -DCMAKE_PREFIX_PATH="$root/told" >cmake/log 2>&1 &&
    cmake --build cmake/build >>cmake/log 2>&1 || { cat cmake/log; exit 1; }
try CMake cmake/build/client
for site in "$lib"/python3*/*-packages; do
    [ ! -d "$site" ] || PYTHONPATH=$site try Python "$python" -Bc \
        'import dialarc; print(dialarc.version())'
done
if [ -e "$lib/lua/5.4/dialarc.so" ]; then
    LUA_CPATH="$lib/lua/5.4/?.so" try Lua lua5.4 -e 'print(require("dialarc").version())'
fi
if [ -e "$lib/octave/dialarc/dialarc.oct" ]; then
    try Octave octave-cli --quiet --no-init-file --no-history --path "$lib/octave/dialarc" \
        --eval 'dialarc; disp(dialarc.version())'
fi
jar=$root/told/share/java/dialarc.jar
if [ -e "$jar" ]; then
    echo 'class Try { public static void main(String[] a) {
        System.out.println(dialarc.Dialarc.version()); } }' >Try.java
    javac -cp "$jar" Try.java
    try Java java -Djava.library.path="$lib" -cp "$jar:." Try
fi
if [ -e "$lib/cli/dialarc/Dialarc.dll" ]; then
    echo 'class Try { static void Main() { System.Console.WriteLine(Dialarc.Api.version()); } }' >Try.cs
    mcs -r:"$lib/cli/dialarc/Dialarc.dll" Try.cs
    MONO_PATH=$lib/cli/dialarc LD_LIBRARY_PATH=$lib try 'C#' mono Try.exe
fi
