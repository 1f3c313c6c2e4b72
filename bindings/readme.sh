# SPDX-License-Identifier: GPL-3.0-or-later
# For the tests of the languages: the example of a README, run as it stands there.

# block WORD FILE: the first block of FILE that is fenced as WORD
block() {
    awk -v fence="\`\`\`$1" '$0 == fence {on = 1; next} /^```$/ && on {exit} on' "$2"
}

# same_as_readme FILE: compares the standard input with the block fenced as text
same_as_readme() {
    diff <(block text "$1") - || { echo "the example of $1 gives something else"; exit 1; }
}
