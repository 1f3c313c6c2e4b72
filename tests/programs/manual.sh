#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The manual pages say what the help says: commands, options, operands, inputs; formatters
# have nothing against them; and completion offers the same.
. "${srcdir:-.}/tests/programs/page_kit.sh"
manual=${srcdir:-.}/examples/programs/manual

# What a page names: flags of its lists and synopsis with their values.
synopsis() { sed -n '/^\.Sh SYNOPSIS/,/^\.Sh DESCRIPTION/p' "$1"; }
listed() { sed -n '/^\.Sh DESCRIPTION/,$p' "$1"; }

"$dialarc" --help >"$scratch/all"
sed -nE 's/^  ([a-z-]+)( [a-z]+)?  +([A-Z].*)/\1\2 \3/p' "$scratch/all" >"$scratch/briefs"
sed -n '/^\.Bl/,/^\.El/p' "$manual/dialarc.1" | awk '
    /^\.It Cm/ {sub(/^\.It Cm /, ""); name = $0; getline; print name, $0}' |
    cmp - "$scratch/briefs" || complain "the list of commands in dialarc.1"

# options COMMAND : "--name VALUE" lines of its help
# shellcheck disable=SC2086 # one or two words
options() { "$dialarc" $1 --help | sed -nE 's/^  (--[a-z-]+)( ([A-Z_0-9]+))? .*/\1 \3/p' | sed 's/ $//'; }
# shellcheck disable=SC2086
operands() { "$dialarc" $1 --help | sed -n 's/^usage: .*\[OPTION\]\.\.\. //p'; }

for page in "$manual"/dialarc-*.1; do
    word=$(basename "$page" .1)
    word=${word#dialarc-}
    grep -q "^\.Xr dialarc-$word 1" "$manual/dialarc.1" || complain "dialarc.1 does not refer to $word"
    commands=$(cut -d' ' -f1,2 "$scratch/briefs" | grep -oE "^$word( [a-z]+)?")
    [ -n "$commands" ] || complain "a page about no command: $page"
    # Synopsis: options and operands of each command in the order of the help.
    while read -r command; do
        echo ".Nm dialarc $command"
        options "$command" | grep -v '^--help' | sed -E 's/^--([a-z-]+) (.+)/.Op Fl -\1 Ar \2/; s/^--([a-z-]+)$/.Op Fl -\1/'
        operands "$command" | tr ' ' '\n' | sed -E 's/^\[(.*)\]$/.Op Ar \1/; t; s/^/.Ar /'
    done <<<"$commands" >"$scratch/wanted"
    synopsis "$page" | grep -v '^\.Sh' | diff - "$scratch/wanted" || complain "synopsis of $page"
    # Every option is told about, and none besides.
    while read -r command; do options "$command"; done <<<"$commands" | sort -u >"$scratch/wanted"
    listed "$page" | sed -nE 's/^\.It Fl -([a-z-]+)( Ar (.*))?/--\1 \3/p' | sed 's/ $//' | sort -u |
        diff - "$scratch/wanted" || complain "options of $page"
done
for word in $(cut -d' ' -f1 "$scratch/briefs" | sort -u); do
    [ -e "$manual/dialarc-$word.1" ] || complain "no page about $word"
done
"$dialarc" what-if --help | sed -nE 's/^    ([a-z_]+)  .*/\1/p' >"$scratch/wanted"
sed -nE 's/^\.It Ar ([a-z_]+)$/\1/p' "$manual/dialarc-what-if.1" | diff - "$scratch/wanted" || complain "inputs"

# What tdc_sd_deg means is said in the same words wherever it is said.
"$dialarc" tdc --help | tr -s ' \n' ' ' | grep -oE '0\.[0-9]+: by [a-z ,]+' >"$scratch/wanted"
[ "$(wc -l <"$scratch/wanted")" -eq 4 ] || complain "no words about tdc_sd_deg"
for text in README.md examples/programs/manual/dialarc-tdc.1; do
    tr -s ' \n' ' ' <"${srcdir:-.}/$text" | grep -oE '0\.[0-9]+: by [a-z ,]+[a-z]' | diff - "$scratch/wanted" ||
        complain "words about tdc_sd_deg in $text"
done
sed -nE 's/.*text: "(by [^"]+)", value: "(0[^"]+)".*/\2: \1/p' "${srcdir:-.}/examples/page/src/engine/questions.ts" |
    diff - "$scratch/wanted" || complain "words about tdc_sd_deg in the offline page"

for page in "$manual"/*.1; do
    if command -v mandoc >/dev/null; then
        (cd "$manual" && mandoc -Tlint "${page##*/}") || complain "mandoc: $page" # finds the others here
    fi
    if command -v man >/dev/null && man --version 2>/dev/null | grep -q '^man '; then
        man -l --warnings -P cat "$page" 2>"$scratch/stderr" >"$scratch/stdout" || complain "man: $page"
        [ ! -s "$scratch/stderr" ] || complain "man: $(cat "$scratch/stderr")"
        grep -q DESCRIPTION "$scratch/stdout" || complain "man shows nothing of $page"
    fi
done

echo "completion"
. "${srcdir:-.}/examples/programs/completion/dialarc"
# offers WORDS... = WANTED... : what is offered for the last of the words
offers() {
    local words=()
    while [ "$1" != = ]; do words+=("$1"); shift; done
    COMP_WORDS=("$dialarc" "${words[@]}") COMP_CWORD=${#words[@]} COMPREPLY=()
    _dialarc "$dialarc" "${words[-1]}" "${COMP_WORDS[COMP_CWORD - 1]}"
    [ "$(printf '%s\n' "${COMPREPLY[@]}" | sort | tr '\n' ' ')" = "$(printf '%s\n' "${@:2}" | sort | tr '\n' ' ')" ] ||
        complain "offered for ${words[*]}: ${COMPREPLY[*]}"
}
offers a = assess
offers l = lobes
offers "" = drive tdc dial pluck chart plan form take assess tooth round crosscheck torque what-if injection cam cam cam lobes history history history history history gauge errors --help --version
offers cam "" = learn check compare --help
offers history n = near
offers history sheet --sw = --sweep
offers assess --th = --threads
offers lobes -- = --order --csv --page --dials --for-spreadsheet --out --help
offers history near --m = --months
offers cam check -- = --cam --dials --out --help
offers assess "$demo/set" = "$demo/setups.csv"
offers assess --out "$demo/set" = "$demo/setups.csv"
offers assess --dials "$demo/di" = "$demo/dials.csv"
offers assess --page "$demo/set" = "$demo/setups.csv"
offers assess --threads "" = ""
exit $failed
