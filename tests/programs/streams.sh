#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# dialarc assess on long tables: threads, pipes, gzip, and every way in which input and
# output can fail or the work be broken off: a clear message, and no half of a result.
set -u
export LC_ALL=C
dialarc=${DIALARC_PROGRAM:-$PWD/examples/programs/dialarc} generate=$PWD/tests/bench/generate_sweeps
demo=${srcdir:-.}/examples/demo
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
failed=0 setups=$scratch/setups.csv sweeps=$scratch/sweeps.csv out=$scratch/out

complain() { echo "FAILED: $*"; failed=1; }

# says TEXT : the last command's message holds it
says() { grep -qF -- "$1" "$scratch/stderr" || { complain "no \"$1\" in:"; cat "$scratch/stderr"; }; }

fresh() { rm -rf "$out"; mkdir "$out"; echo before >"$out/results.csv"; }
untouched() {
    [ "$(cat "$out/"*)" = before ] || complain "$1: the output file was touched"
    [ "$(ls "$out")" = results.csv ] || complain "$1: left behind: $(ls "$out")"
}

# refuse MESSAGE COMMAND... : status 2, the message, nothing on standard output
refuse() {
    "${@:2}" >"$scratch/stdout" 2>"$scratch/stderr"
    local got=$?
    [ $got -eq 2 ] || complain "status $got, not 2: ${*:2}"
    says "$1"
    [ ! -s "$scratch/stdout" ] || complain "something was written to standard output: ${*:2}"
}

# refuse_input MESSAGE FILE : by name and on standard input
refuse_input() {
    fresh
    refuse "$1" "$dialarc" assess --out "$out/results.csv" "$setups" "$2"
    refuse "$1" "$dialarc" assess --out "$out/results.csv" "$setups" - <"$2"
    untouched "$1"
}

[ -x "$generate" ] || { complain "$generate is not there: make tests/bench/generate_sweeps"; exit 1; }
"$generate" --setups "$setups" 160 >"$sweeps" || { complain "generate_sweeps"; exit 1; }
"$generate" 160 | cmp - "$sweeps" || complain "another table for the same seed"
"$dialarc" assess --threads 1 "$setups" "$sweeps" >"$scratch/results.csv" 2>"$scratch/stderr" || complain "status $?"
[ "$(wc -l <"$scratch/results.csv")" -eq 161 ] || complain "rows of the result"
loud=$(grep -v 'sweeps are not of one setting\|engines have several sweeps' "$scratch/stderr")
[ -z "$loud" ] || complain "not quiet: $loud"
[ "$(cut -d, -f2 "$scratch/results.csv" | sort -u | wc -l)" -ge 4 ] || complain "all verdicts alike"

echo "threads"
for threads in 2 3 7; do
    "$dialarc" assess --threads $threads "$setups" "$sweeps" 2>/dev/null | cmp - "$scratch/results.csv" || complain "$threads threads"
done
"$dialarc" assess "$setups" "$sweeps" 2>/dev/null | cmp - "$scratch/results.csv" || complain "threads not given"
"$dialarc" assess --threads 1 --report "$demo/setups.csv" "$demo/sweeps.csv" >"$scratch/report" 2>"$scratch/stderr1"
"$dialarc" assess --threads 3 --report "$demo/setups.csv" "$demo/sweeps.csv" 2>"$scratch/stderr" | cmp - "$scratch/report" || complain "report by threads"
cmp "$scratch/stderr" "$scratch/stderr1" || complain "messages by threads"
for number in 0 -1 x 2x 1025 99999999999999999999 ""; do
    refuse "usage: dialarc assess" "$dialarc" assess --threads "$number" "$setups" "$sweeps"
done
refuse "usage: dialarc assess" "$dialarc" assess "$setups" "$sweeps" --threads

echo "pipes"
"$generate" 160 | "$dialarc" assess "$setups" - 2>/dev/null | cmp - "$scratch/results.csv" || complain "a pipe"
{ head -c 100000 "$sweeps"; sleep 0.3; tail -c +100001 "$sweeps"; } |
    "$dialarc" assess --threads 2 "$setups" - 2>/dev/null | cmp - "$scratch/results.csv" || complain "a pipe that waits"
{ read -r _ && "$dialarc" assess "$setups" - >"$scratch/stdout" 2>"$scratch/stderr"; } < <(echo dropped; cat "$sweeps")
cmp "$scratch/stdout" "$scratch/results.csv" || complain "standard input that somebody has read from"
refuse "standard input: reading failed" bash -c "'$dialarc' assess '$setups' - <&-"

echo "gzip"
if ! command -v gzip >/dev/null; then
    echo "skipped: no gzip"
elif gzip -c "$sweeps" >"$sweeps.gz" && "$dialarc" assess "$setups" "$sweeps.gz" 2>&1 | grep -q "built without"; then
    refuse_input "compressed by gzip" "$sweeps.gz"
else
    gzip -c "$setups" >"$setups.gz"
    for way in "'$dialarc' assess '$setups' '$sweeps.gz'" "'$dialarc' assess '$setups.gz' - <'$sweeps.gz'" \
        "cat '$sweeps.gz' | '$dialarc' assess --threads 2 '$setups.gz' -"; do
        bash -c "$way" 2>"$scratch/stderr" | cmp - "$scratch/results.csv" || complain "gzip: $way"
    done
    { head -c 300000 "$sweeps" | gzip -1; tail -c +300001 "$sweeps" | gzip -9; head -c 3000 /dev/zero; } >"$scratch/two.gz"
    "$dialarc" assess "$setups" "$scratch/two.gz" 2>/dev/null | cmp - "$scratch/results.csv" || complain "two in one file"
    size=$(stat -c %s "$sweeps.gz")
    for cut in 2 5 18 1000 $((size / 2)) $((size - 9)) $((size - 1)); do
        head -c "$cut" "$sweeps.gz" >"$scratch/cut.gz"
        refuse_input "the compressed file ends too early: it has been cut off" "$scratch/cut.gz"
    done
    # Rubbish may come out before the checksum tells.
    for place in $((size / 2)) $((size - 8)); do
        { head -c $place "$sweeps.gz"; head -c 4 /dev/zero; tail -c +$((place + 5)) "$sweeps.gz"; } >"$scratch/bad.gz"
        if [ $place -lt $((size - 20)) ]; then refuse_input "" "$scratch/bad.gz"; else
            refuse_input "the compressed data are damaged" "$scratch/bad.gz"; fi
    done
    { cat "$sweeps.gz"; echo more; } >"$scratch/more.gz"
    refuse_input "something else follows the compressed data" "$scratch/more.gz"
fi
printf '\x1f' >"$scratch/one_byte"
refuse_input "in a text file" "$scratch/one_byte"

echo "input that vanishes"
# Messages into a pipe that nobody reads hold the program up while most is still unread.
{ echo sweep,setup,crank_deg,dial_mm; seq -f 'short%.0f,engine0,0,0' 40000; } >"$scratch/long.csv"
mkfifo "$scratch/messages"
fresh
"$dialarc" assess --out "$out/results.csv" "$setups" "$scratch/long.csv" 2>"$scratch/messages" &
{
    read -r line && echo "$line"
    truncate -s 500000 "$scratch/long.csv"
    cat
} <"$scratch/messages" >"$scratch/stderr"
wait $!
[ $? -eq 2 ] || complain "status of a file that became shorter"
says "long.csv: the file became shorter while it was being read"
untouched "a file that became shorter"

echo "output that fails"
fresh
refuse "out/results.csv: cannot be written: File too large" bash -c \
    "ulimit -f 8; '$dialarc' assess --out '$out/results.csv' '$setups' '$sweeps'"
untouched "a limit on file sizes"
# shellcheck disable=SC2016 # expanded by the inner shell
refuse "standard output: cannot be written: temporary file: File too large" bash -c \
    "ulimit -f 8; '$dialarc' assess '$setups' '$sweeps' | cat"' ; exit ${PIPESTATUS[0]}'
# A full disk: a small file system, which only a new name space lets anybody but root mount.
mount='mount -t tmpfs -o size=8k none'
mkdir "$scratch/small"
for apart in "unshare -rm" "unshare -m" ""; do
    [ -z "$apart" ] || ! $apart $mount "$scratch/small" 2>/dev/null || break
done
if [ "$apart" ]; then
    # shellcheck disable=SC2317 # called by refuse
    small() { $apart bash -c "$mount '$scratch/small' && cd '$scratch/small' && $1"; }
    refuse "results.csv: cannot be written: No space left on device" small \
        "'$dialarc' assess --out results.csv '$setups' '$sweeps'; s=\$?; ls; exit \$s"
    refuse "standard output: cannot be written: No space left on device" small \
        "echo before >results.csv; '$dialarc' assess '$setups' '$sweeps' >>results.csv; s=\$?; grep -v before results.csv; exit \$s"
else
    # A container may do neither, but may be told that its disk is full.
    if command -v strace >/dev/null; then
        fresh
        refuse "results.csv: cannot be written: No space left on device" \
            ./libtool --silent --mode=execute strace -f -o /dev/null \
            -e inject=write:error=ENOSPC:when=1 \
            "$dialarc" assess --out "$out/results.csv" "$setups" "$sweeps"
        untouched "a full disk"
    else
        echo "skipped: no small file system can be mounted here, and no strace"
    fi
fi
"$dialarc" assess "$setups" "$sweeps" 2>"$scratch/stderr" | true
[ "${PIPESTATUS[0]}" -eq 2 ] || complain "status for a closed pipe"
says "standard output: cannot be written: Broken pipe"

echo "interruption"
# interrupt SIGNAL STATUS INPUT... : while it reads what the command gives
interrupt() {
    fresh
    mkfifo "$scratch/slow"
    env --default-signal="$1" "$dialarc" assess --threads 2 --out "$out/results.csv" "$setups" "$scratch/slow" 2>"$scratch/stderr" &
    local program=$! got
    exec 5>"$scratch/slow"
    "${@:3}" >&5 2>/dev/null &
    for _ in $(seq 100); do
        [ "$(find "$out" | wc -l)" -lt 3 ] || break
        sleep 0.05
    done
    [ "$(find "$out" | wc -l)" -eq 3 ] || complain "no temporary file to take along"
    sleep 0.1
    kill -"$1" $program
    wait $program
    got=$?
    exec 5>&-
    wait
    rm "$scratch/slow"
    [ $got -eq "$2" ] || complain "status $got after $1"
    says "interrupted: the results were not written"
    untouched "$1"
}
if env --default-signal=INT true 2>/dev/null; then
    interrupt INT 130 "$generate" 1000000000
    interrupt TERM 143 "$generate" 1000000000
    interrupt TERM 143 cat "$sweeps" # then nothing more comes
else
    echo "skipped: no env --default-signal"
fi

echo "killed"
# begin: a program that waits for more of its input, its temporary file made
begin() {
    "$dialarc" assess --out "$out/results.csv" "$setups" "$scratch/slow" 2>/dev/null &
    program=$!
    exec 5>"$scratch/slow"
    for _ in $(seq 100); do
        [ -z "$(find "$out" -name 'results.csv.dialarc-*')" ] || break
        sleep 0.05
    done
}
left() { find "$out" -name 'results.csv.dialarc-*' | wc -l; }
fresh
mkfifo "$scratch/slow"
begin
kill -KILL $program
wait $program 2>/dev/null
exec 5>&-
[ "$(left)" -eq 1 ] || complain "a killed program has left $(left) files by a name that tells"
touch "$out/results.csv.dialarc-mine" "$out/other.dialarc-abcdef"
"$dialarc" assess --out "$out/results.csv" "$setups" "$sweeps" 2>/dev/null
[ "$(left)" -eq 2 ] || complain "a young file was taken for one that was left"
find "$out" -name '*.dialarc-*' -exec touch -d '2 minutes ago' {} +
begin
touch -d '2 minutes ago' "$out"/results.csv.dialarc-*
"$dialarc" assess --out "$out/results.csv" "$setups" "$sweeps" 2>/dev/null
[ "$(left)" -eq 2 ] || complain "$(left) files are left, not that of a running program and a stranger's"
cat "$sweeps" >&5
exec 5>&-
wait $program || complain "swept from under a running program"
cmp "$out/results.csv" "$scratch/results.csv" || complain "the result after the sweeping"
[ "$(ls "$out")" = "other.dialarc-abcdef
results.csv
results.csv.dialarc-mine" ] || complain "left behind: $(ls "$out")"

echo "progress"
if command -v script >/dev/null; then
    cat >"$scratch/watched" <<END
{ cat '$sweeps'; sleep 0.5; sed -n '2,\$s/^s/t/p' '$sweeps'; } | '$dialarc' assess '$setups' - >'$scratch/stdout'
'$dialarc' assess '$setups' '$sweeps' >/dev/null
END
    script -qec "bash '$scratch/watched'" /dev/null </dev/null >"$scratch/stderr" 2>&1
    grep -qE '[0-9]+ rows, [0-9]+ sweeps, [0-9]+ sweeps/s' "$scratch/stderr" || complain "no progress on a terminal"
    [ "$(wc -l <"$scratch/stdout")" -eq 321 ] || complain "the result beside the progress"
else
    echo "skipped: no script to make a terminal"
fi
exit $failed
