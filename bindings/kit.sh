# SPDX-License-Identifier: GPL-3.0-or-later
# For the tests of the languages: a folder $work for the time of the test, the vectors, and
# the example of a README as it stands there.
set -euo pipefail
export srcdir=${srcdir:-.} LD_LIBRARY_PATH="$PWD/.libs:${LD_LIBRARY_PATH-}"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# As the library of this machine gives them, where the program that prints them has been
# built; else as they are kept.
export VECTORS=$work/vectors.csv
if [ -x tests/vectors ]; then
    tests/vectors >"$VECTORS" || [ $? -eq 3 ]
else
    cp "$srcdir/refdata/vectors.csv" "$VECTORS"
fi

# block WORD FILE: the first block of FILE that is fenced as WORD
block() {
    awk -v fence="\`\`\`$1" '$0 == fence {on = 1; next} /^```$/ && on {exit} on' "$2"
}

# same_as_readme FILE: compares the standard input with the block fenced as text
same_as_readme() {
    diff <(block text "$1") - || { echo "the example of $1 gives something else"; exit 1; }
}
