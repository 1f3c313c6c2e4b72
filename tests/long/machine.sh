#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The suite built for another machine, called by make check-machine MACHINE=...:
#   i386    32 bits
#   s390x   big-endian, 64 bits, run by qemu
# Needs Debian's cross compiler (gcc-12-multilib; gcc-s390x-linux-gnu, libc6-dev-s390x-cross,
# qemu-user-static) and apt-get, with which GSL and Check of that machine are fetched
# into machine-MACHINE/; the system itself is left as it is, and root is not needed.
: "${srcdir:?}"
set -eu
machine=$1
case $machine in
    i386) debian=i386 host=i686-linux-gnu lib=i386-linux-gnu run=
        cc='gcc -m32 -idirafter /usr/include/x86_64-linux-gnu' ;;
    s390x) debian=s390x host=s390x-linux-gnu lib=s390x-linux-gnu cc=s390x-linux-gnu-gcc
        run=qemu-s390x-static ;;
    *) echo "no such machine: $machine" >&2; exit 2 ;;
esac
srcdir=$(cd "$srcdir" && pwd)
mkdir -p "machine-$machine" && cd "machine-$machine"
root=$PWD/root

fetch() {
    mkdir -p apt/lists/partial apt/cache/archives/partial
    cat >apt/conf <<EOF
APT::Architecture "$debian";
APT::Architectures "$debian";
Dir::State "$PWD/apt";
Dir::State::status "/dev/null";
Dir::Cache "$PWD/apt/cache";
EOF
    export APT_CONFIG=$PWD/apt/conf
    apt-get -qq update || echo 'the archive is incomplete: going on with what was there'
    apt-get -qq download libgsl-dev check libsubunit-dev
    for package in *.deb; do
        dpkg-deb -x "$package" root
    done
    rm -rf apt -- *.deb root/usr/lib/*/*.so # archives alone
}

for tool in ${cc%% *} $run; do
    command -v "$tool" >/dev/null || { echo "skipped: $tool is not installed"; exit 77; }
done
[ -d root/usr/include/gsl ] || fetch
# Only libraries come from there; the C library is the compiler's own.
"$srcdir/configure" --quiet --host=$host --disable-shared --disable-python CC="$cc" \
    CPPFLAGS="-I$root/usr/include -I$root/usr/include/$lib" GSL_CFLAGS=' ' CHECK_CFLAGS=' ' \
    GSL_LIBS="-L$root/usr/lib/$lib -lgsl -lgslcblas -lm" \
    CHECK_LIBS="-L$root/usr/lib/$lib -lcheck -lsubunit -lrt -lm -lpthread" \
    PKG_CONFIG=false
${MAKE:-make} -s libdialarc_core.la
# shellcheck disable=SC2016 # a variable of make
QEMU_LD_PREFIX=/usr/$host DIALARC_TEST_LIGHT=1 CK_TIMEOUT_MULTIPLIER=20 ${MAKE:-make} -s check \
    TESTS="${TESTS-\$(check_PROGRAMS)}" LOG_COMPILER=$run ||
    { cat test-suite.log; exit 1; }
