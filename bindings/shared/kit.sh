# SPDX-License-Identifier: GPL-3.0-or-later
# For the tests of the languages: a folder $work for the time of the test, the vectors,
# tables, and the example of a README as it stands there.
set -euo pipefail
export srcdir=${srcdir:-.} LD_LIBRARY_PATH="$PWD/.libs:${LD_LIBRARY_PATH-}"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# As the library of this machine gives them, where the program that prints them has been
# built; else as they are kept.
export VECTORS=$work/vectors.csv
if [ -x tests/whole/vectors ]; then
    tests/whole/vectors >"$VECTORS" || [ $? -eq 3 ]
else
    cp "$srcdir/refdata/vectors.csv" "$VECTORS"
fi

# A table whose last line is malformed, what is said of that line, and a folder for
# results.
sweeps=$srcdir/examples/demo/sweeps.csv
export MALFORMED=$work/malformed.csv OUT=$work/out
{ cat "$sweeps"; echo "last,heron4,0,y,"; } >"$MALFORMED"
rows=$(wc -l <"$sweeps")
export PLACE="line $((rows + 1)) (row $rows), column dial_mm: "
mkdir "$OUT"

# A folder where the examples of a README find their tables.
here=$work/readme
mkdir "$here"
cp "${sweeps%/*}/setups.csv" "$sweeps" "$here"

# The results of the tests and of the README are those of the program, and nothing else
# has been left beside those of the tests.
same_results() {
    examples/programs/dialarc assess "${sweeps%/*}/setups.csv" "$sweeps" \
        >"$work/wanted.csv" 2>"$work/told" || [ $? -eq 1 ]
    cmp "$OUT/results.csv" "$work/wanted.csv"
    cmp "$here/results.csv" "$work/wanted.csv"
    [ "$(ls -A "$OUT")" = results.csv ]
}

# block WORD FILE [NUMBER]: the first block of FILE that is fenced as WORD, or another
block() {
    awk -v fence="\`\`\`$1" -v wanted="${3:-1}" '
        $0 == fence { on = ++number == wanted; next }
        /^```$/ { on = 0 }
        on' "$2"
}

# same_as_readme FILE: compares the standard input with the block fenced as text
same_as_readme() {
    diff <(block text "$1") - ||
        { echo "the example of $1 gives something else"; exit 1; }
}
