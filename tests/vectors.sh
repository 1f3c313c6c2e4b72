#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# refdata/vectors.csv is what tests/vectors prints: what the other languages are held to is
# what this library gives.
set -u
table=${srcdir:-.}/refdata/vectors.csv
tests/vectors | diff "$table" - >tests/vectors.differences && exit 0
head -n 20 tests/vectors.differences
echo "$table is not what the library gives. If that is meant: make vectors"
exit 1
