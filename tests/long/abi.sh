#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The binary interface of this build beside that of the last release, the newest tag v*
# (or of another commit, given as argument), by abidiff. The rule of configure.ac:
#   the same                 nothing is asked
#   only additions           current and age are higher by the same
#   anything else            current is higher, age 0
# Called by make check-abi with srcdir and VERSION_INFO, in a build folder.
: "${srcdir:?}" "${VERSION_INFO:?}"
set -eu
for tool in abidiff git; do
    command -v $tool >/dev/null || { echo "skipped: $tool is not installed"; exit 0; }
done
here=$PWD
cd "$srcdir"
last=${1-$(git describe --tags --abbrev=0 --match 'v*' 2>/dev/null || true)}
[ -n "$last" ] || { echo "skipped: no release yet, nothing to compare"; exit 0; }
rm -rf "$here/abi-last" && mkdir -p "$here/abi-last"
git archive "$last" | tar -x -C "$here/abi-last"

cd "$here/abi-last"
mkdir -p .build-aux/m4
autoreconf --install >autoreconf.log 2>&1 || { cat autoreconf.log; exit 1; }
./configure --quiet --disable-python --disable-static CFLAGS='-O1 -g'
${MAKE:-make} -s libdialarc.la >/dev/null
was=$(sed -n 's/^DIALARC_VERSION_INFO = //p' Makefile)
cd "$here"
# compare OPTIONS... : success when the same
compare() {
    local status=0
    abidiff --headers-dir1 abi-last/include --headers-dir2 "$srcdir/include" "$@" \
        abi-last/.libs/libdialarc.so .libs/libdialarc.so >abi-last/said || status=$?
    [ $((status & 3)) -eq 0 ] || { cat abi-last/said; echo "abidiff failed"; exit 1; }
    return $status
}
IFS=: read -r current _ age <<<"$VERSION_INFO"
IFS=: read -r old_current _ old_age <<<"$was"
echo "interface version: $was in $last, $VERSION_INFO now"
bad=
if compare; then
    echo "the binary interface is that of $last"
elif compare --no-added-syms; then
    echo "the binary interface is that of $last and additions"
    if [ "$current" -le "$old_current" ] ||
        [ $((current - age)) -ne $((old_current - old_age)) ]; then
        bad="current and age have to be higher by the same"
    fi
else
    cat abi-last/said
    if [ "$current" -le "$old_current" ] || [ "$age" -ne 0 ]; then
        bad="current has to be higher, and age 0"
    fi
fi
rm -rf abi-last
[ -z "$bad" ] || { echo "DIALARC_VERSION_INFO in configure.ac: $bad"; exit 1; }
