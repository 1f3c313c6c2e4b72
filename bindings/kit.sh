# SPDX-License-Identifier: GPL-3.0-or-later
# For the tests of the languages: the example of a README as it stands there, and the
# vectors.

# block WORD FILE: the first block of FILE that is fenced as WORD
block() {
    awk -v fence="\`\`\`$1" '$0 == fence {on = 1; next} /^```$/ && on {exit} on' "$2"
}

# same_as_readme FILE: compares the standard input with the block fenced as text
same_as_readme() {
    diff <(block text "$1") - || { echo "the example of $1 gives something else"; exit 1; }
}

# vectors FILE: the vectors as the library of this machine gives them, where the program
# that prints them has been built, else those that are kept
vectors() {
    if [ -x tests/vectors ]; then
        tests/vectors >"$1" || [ $? -eq 3 ]
    else
        cp "$srcdir/refdata/vectors.csv" "$1"
    fi
    export VECTORS=$1
}
