#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# refdata/vectors.csv is what tests/whole/vectors prints: what the other languages are held to is
# what this library gives. The table holds the bits of 64-bit x86.
set -u
table=${srcdir:-.}/refdata/vectors.csv
tests/whole/vectors >tests/whole/vectors.new
case $? in
    0) ;;
    3) echo "another machine than that of the table"; exit 77 ;;
    *) exit 1 ;;
esac
diff "$table" tests/whole/vectors.new >tests/whole/vectors.differences && exit 0
head -n 20 tests/whole/vectors.differences
echo "$table is not what the library gives. If that is meant: make vectors"
exit 1
