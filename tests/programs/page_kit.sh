# SPDX-License-Identifier: GPL-3.0-or-later
# For the tests of the program dialarc: the program, a folder $scratch for the time of the
# test, the demonstration tables, and what a page and a complaint must be. `exit $failed`
# ends.
# shellcheck disable=SC2034 # read by those who source this
set -u
export LC_ALL=C PYTHONDONTWRITEBYTECODE=1
demo=${srcdir:-.}/examples/demo dialarc=${DIALARC_PROGRAM:-$PWD/examples/programs/dialarc}
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
failed=0

complain() { echo "FAILED: $*"; failed=1; }

# expect STATUS COMMAND... : runs it, keeps what it says; nothing is written with status 2
expect() {
    "${@:2}" >"$scratch/stdout" 2>"$scratch/stderr" </dev/null
    local got=$?
    [ $got -eq "$1" ] || { complain "status $got, not $1: ${*:2}"; cat "$scratch/stderr"; }
    [ "$1" -lt 2 ] || [ ! -s "$scratch/stdout" ] || complain "output with status $1: ${*:2}"
}

says() { grep -qF -- "$1" "$scratch/stderr" || { complain "no \"$1\" in:"; cat "$scratch/stderr"; }; }

# page TEXT : the page holds it, however its lines are broken
page() { tr -s ' \n' ' ' <"$scratch/stdout" | grep -qF -- "$1" || complain "no \"$1\" on the page"; }

plain() {
    [ "$(wc -L <"$scratch/stdout")" -le 80 ] || complain "a page is wider than 80 columns"
    ! grep -qP '[^\x20-\x7e]| $' "$scratch/stdout" || complain "more than plain text, or blanks at the end"
    ! grep -qiE 'nan|inf[^oe]|-0\.0+ ' "$scratch/stdout" || complain "nan, inf or -0 on a page"
}

# made SCRIPT TABLE... : the tables, of one folder, are what the script of the demonstration
# writes
made() {
    [ -n "${PYTHON3-}" ] || return 0
    "$PYTHON3" "$demo/$1" "$scratch/$(dirname "$2")" || complain "$1"
    for table in "${@:2}"; do
        cmp "$scratch/$table" "$demo/$table" || complain "$table is not what $1 writes"
    done
}
