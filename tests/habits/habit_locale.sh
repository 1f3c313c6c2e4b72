#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The whole suite once more in a locale whose decimal point is a comma, with light counts:
# what numbers are written and read goes the same way in each repetition.
set -u
name=de_DE.UTF-8 folder=$PWD/tests/locale status=0
if ! [ -d "$folder/$name" ]; then
    mkdir -p "$folder"
    localedef -i de_DE -f UTF-8 "$folder/$name" >/dev/null 2>&1
    [ -d "$folder/$name" ] || { echo "skipped: localedef cannot make $name"; exit 77; }
fi
export LOCPATH=$folder TEST_LOCALE=$name DIALARC_TEST_LIGHT=1
[ "$(env LC_ALL=$name locale decimal_point)" = , ] || { echo "$name has no decimal comma"; exit 1; }

for program in $TEST_PROGRAMS; do
    # Not named as in a plain run, so that totals do not count these tests twice.
    "$program" >"$program.comma" 2>&1 ||
        { echo "$program fails in $name:"; cat "$program.comma"; status=1; }
done
exit $status
