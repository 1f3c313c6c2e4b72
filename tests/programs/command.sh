#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The command line of dialarc: help, version, and what it says to words that it does not
# know. That help and manual say the same is held by manual.sh.
. "${srcdir:-.}/tests/programs/page_kit.sh"

# The commands in the order of the work.
names=("drive" "tdc" "dial" "pluck" "chart" "plan" "form" "take" "assess" "tooth" "round" "crosscheck" "torque"
    "what-if" "injection" "cam learn" "cam check" "cam compare" "lobes" "history add" "history anew"
    "history engine" "history near" "history sheet" "gauge" "errors")

echo "help"
expect 0 "$dialarc" --help
plain
sed -nE 's/^  ([a-z-]+)( [a-z]+)?  .*/\1\2/p' "$scratch/stdout" |
    cmp - <(printf '%s\n' "${names[@]}") || complain "the commands of the help"
for name in "${names[@]}"; do
    read -ra words <<<"$name"
    expect 0 "$dialarc" "${words[@]}" --help
    plain
    [ ! -s "$scratch/stderr" ] || complain "help on standard error: $name"
    grep -q "^usage: dialarc $name \[OPTION\]\.\.\." "$scratch/stdout" || complain "usage of $name"
    page "exit status: 0"
    page "--help this text"
    # Help goes before everything else on the line, and nothing is done.
    expect 0 "$dialarc" "${words[@]}" no/such.csv --help
    grep -q "^usage: dialarc $name " "$scratch/stdout" || complain "help behind an operand of $name"
done
for group in cam history; do
    expect 0 "$dialarc" $group --help
    for name in "${names[@]}"; do
        [ "${name%% *}" != $group ] || grep -q "^usage: dialarc $name " "$scratch/stdout" || complain "$group --help"
    done
done
expect 0 "$dialarc" --version
grep -qE '^dialarc [0-9]+\.[0-9]+\.[0-9]+$' "$scratch/stdout" || complain "no version"
grep -q "NO WARRANTY" "$scratch/stdout" || complain "no word of the warranty"
if [ -w /dev/full ]; then
    for words in --help --version "assess --help"; do
        expect 2 bash -c "'$dialarc' $words >/dev/full"
        says "standard output: cannot be written"
    done
fi

echo "commands that do not exist"
# unknown WORDS... -- MESSAGE
unknown() {
    local words=()
    while [ "$1" != -- ]; do words+=("$1"); shift; done
    expect 2 "$dialarc" "${words[@]}"
    says "$2"
}
unknown -- "dialarc --help lists the commands"
unknown asses -- "dialarc: asses: there is no such command; did you mean assess? dialarc --help"
unknown what_if -- "did you mean what-if?"
unknown lobe setups.csv -- "did you mean lobes?"
unknown histroy -- "did you mean history?"
unknown Round -- "did you mean round?"
unknown xylophone -- "dialarc: xylophone: there is no such command; dialarc --help lists them"
unknown --verison -- "there is no such command; dialarc --help"
unknown "" -- "there is no such command"
unknown cam -- "dialarc cam: a second word is missing: learn, check or compare"
unknown history -- "a second word is missing: add, anew, engine, near or sheet"
unknown cam leran a b -- "dialarc cam: leran: there is no such command; did you mean learn? dialarc cam --help"
unknown cam forget -- "dialarc cam: forget: there is no such command; dialarc cam --help"
unknown $'as\e[31mses\xe2\x80\xae' -- 'dialarc: as\u001B[31mses\u202E: there is no such command'

echo "options and operands"
# Each names what is wrong, and the usage below it what would be right.
wrong() { # COMMAND MESSAGE WORDS...
    # shellcheck disable=SC2086 # two words, the command and its part
    expect 2 "$dialarc" $1 "${@:3}"
    says "dialarc $1: $2"
    says "usage: dialarc $1 [OPTION]..."
    says "dialarc $1 --help tells more"
}
for name in "${names[@]}"; do
    wrong "$name" "--hlep: there is no such option; did you mean --help?" --hlep
    wrong "$name" "--xylophone: there is no such option" --xylophone
    wrong "$name" "-x: there is no such option" -x
    wrong "$name" "--help: this option takes no value" --help=x
    # shellcheck disable=SC2086 # one or two words
    operands=$("$dialarc" $name --help | sed -n "s/^usage: dialarc $name \[OPTION\]\.\.\. //p")
    first=${operands%% *}
    [[ $first = \[* ]] || wrong "$name" "${first%...}: this operand is missing"
    read -ra words <<<"$operands"
    [[ $operands != *... ]] || continue # as many as there are
    wrong "$name" "more: one word too many" "${words[@]}" more
    wrong "$name" "--help: one word too many" -- "${words[@]}" --help
done
for name in assess round "cam learn" "cam check" lobes; do
    # shellcheck disable=SC2086
    read -ra words <<<"$("$dialarc" $name --help | sed -n "s/^usage: dialarc $name \[OPTION\]\.\.\. //p" | sed 's/[A-Z]*/-/g')"
    wrong "$name" "-: standard input can be only one of the tables" "${words[@]}"
done
wrong assess "--threads: a value must follow: --threads N" a b --threads
wrong assess "--report: this option takes no value" a b --report=yes
wrong assess "--threds: there is no such option; did you mean --threads?" --threds=2 a b
for number in 0 -1 x 2x 1025 99999999999999999999 "" 1.5 " 2" +2; do
    wrong assess "--threads: a whole number from 1 to 1024 must follow" --threads "$number" a b
done
wrong "history near" "--months: a whole number from 1 to 1200 must follow" --months 0 a
for number in x 0,14 "" nan inf 1e999 "0.14 kg"; do
    wrong pluck "--mass: a number must follow, such as 0.5" --mass "$number" a
done
wrong pluck "--low: a value must follow: --low HZ" a --low

# Options anywhere, by what they begin with, and with = or without.
expect 1 "$dialarc" assess "$demo/setups.csv" "$demo/sweeps.csv" --report
cp "$scratch/stdout" "$scratch/page"
expect 1 "$dialarc" assess "$demo/setups.csv" --rep "$demo/sweeps.csv" --threads=2
cmp "$scratch/stdout" "$scratch/page" || complain "where an option stands"

echo "calibrations of dials"
for words in "assess" "cam learn" "cam check" lobes round "history add"; do
    # shellcheck disable=SC2086 # the words of a command
    expect 0 "$dialarc" $words --help
    grep -q -- "--dials TABLE" "$scratch/stdout" || complain "no --dials in $words"
done
expect 1 "$dialarc" assess --dials "$demo/dials.csv" "$demo/setups.csv" "$demo/sweeps.csv"
lift() { awk -F, -v sweep="$1" '$1 == sweep {print $3}' "$scratch/$2"; }
cp "$scratch/stdout" "$scratch/corrected"
expect 1 "$dialarc" assess "$demo/setups.csv" "$demo/sweeps.csv"
[ "$(lift "heron good" corrected)" != "$(lift "heron good" stdout)" ] || complain "nothing was corrected"
[ "$(lift "otter learned" corrected)" = "$(lift "otter learned" stdout)" ] || complain "a dial without a name"
sed 's/,bench,/,bank,/' "$demo/setups.csv" >"$scratch/setups.csv"
expect 2 "$dialarc" round --dials "$demo/dials.csv" "$scratch/setups.csv" "$demo/rounds.csv"
says "setups.csv: setup heron4 names the dial bank, which the dials table does not have"
printf 'dial,shown_mm,true_mm,u_mm\nbench,0,0,0\nbench,0.4,0.4,0\n' >"$scratch/short.csv"
expect 2 "$dialarc" assess --dials "$scratch/short.csv" "$demo/setups.csv" "$demo/sweeps.csv"
says "heron good: The dial reading lies outside the calibration"
printf 'dial,shown_mm,true_mm,u_mm\nbench,0,0,0\nbench,0,1,0\n' >"$scratch/short.csv"
expect 2 "$dialarc" lobes --dials "$scratch/short.csv" "$demo/setups.csv" "$demo/turns.csv"
says "short.csv, line 3 (row 2), column shown_mm: the readings of a dial must rise"

echo "names that would steer the terminal"
# C1 control and overrides of direction; tables refuse the controls below the blank.
evil=$'x\xc2\x9b1m\xe2\x80\xaetxt\xe2\x81\xa6'
safe='x\u009B1m\u202Etxt\u2066'
sed "s/heron good/$evil/; s/badger short/$evil short/" "$demo/sweeps.csv" >"$scratch/evil.csv"
expect 1 "$dialarc" assess --report "$demo/setups.csv" "$scratch/evil.csv"
plain
page "SWEEP $safe, engine heron4"
says "dialarc assess: unusable: $safe short: minimum_not_bracketed"
expect 1 "$dialarc" assess "$demo/setups.csv" "$scratch/evil.csv"
grep -qF "$evil" "$scratch/stdout" || complain "names of the results table are not as they were"
printf 'setup,lobes\n"%s",4\n"%s",4\n' "$evil" "$evil" >"$scratch/setups.csv"
expect 2 "$dialarc" assess "$scratch/setups.csv" "$demo/sweeps.csv"
! grep -qP '[^\x20-\x7e\n]' "$scratch/stderr" || complain "controls in a message about a table"
expect 2 "$dialarc" round $'no\r\n\x80such' "$demo/rounds.csv"
says 'no\u000D\u000A\x80such: cannot be opened'

echo "names that a spreadsheet would work out"
for name in '=1+2' '+1' '-1' '@x' '"=1,2"' '"=""x"""'; do
    awk -F, -v OFS=, -v name="${name//\\/}" 'NR == 1 {print} $1 == "heron good" {$1 = name; print}' "$demo/sweeps.csv" >"$scratch/formula.csv"
    expect 0 "$dialarc" assess "$demo/setups.csv" "$scratch/formula.csv"
    sed 1d "$scratch/stdout" >"$scratch/plain"
    [ "$(cut -c1-${#name} "$scratch/plain")" = "$name" ] || complain "the name $name is not as it was"
    expect 0 "$dialarc" assess --for-spreadsheet "$demo/setups.csv" "$scratch/formula.csv"
    sed 1d "$scratch/stdout" | cmp - <(sed -E "s/^(\"?)/\1'/" "$scratch/plain") || complain "no guard before $name"
done
expect 1 "$dialarc" assess --for-spreadsheet "$demo/setups.csv" "$demo/sweeps.csv"
cp "$scratch/stdout" "$scratch/guarded"
expect 1 "$dialarc" assess "$demo/setups.csv" "$demo/sweeps.csv"
cmp "$scratch/stdout" "$scratch/guarded" || complain "a guard before names that need none"
grep '^sweep\|^heron' "$demo/turns.csv" | sed 's/^heron turn/=turn/' >"$scratch/turns.csv"
expect 0 "$dialarc" lobes --csv --for-spreadsheet "$demo/setups.csv" "$scratch/turns.csv"
[ "$(sed 1d "$scratch/stdout" | cut -c1-8 | sort -u)" = "\"'=turn\"" ] || complain "no guard of lobes"
exit $failed
