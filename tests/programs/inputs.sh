#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Every command reads every table that it takes plain, compressed by gzip, and either of
# them on standard input and through a pipe, with equal output.
. "${srcdir:-.}/tests/programs/page_kit.sh"
command -v gzip >/dev/null || { echo "skipped: no gzip"; exit 77; }
history=$scratch/history.db

# Tables by the name that a command's help gives them, in the scratch folder plain and
# compressed.
keep() { cp "$2" "$scratch/$1"; gzip -c "$2" >"$scratch/$1.gz"; }
keep setups.csv "$demo/setups.csv"
keep sweeps.csv "$demo/sweeps.csv"
keep rounds.csv "$demo/rounds.csv"
keep dials.csv "$demo/dials.csv"
keep turns.csv "$demo/turns.csv"
keep pumps.csv "$demo/reuse/pumps.csv"
keep whole.csv "$demo/reuse/whole_lobes.csv"
keep ten.csv "$demo/reuse/ten_readings.csv"
"$dialarc" cam learn --out "$scratch/cams" "$scratch/pumps.csv" "$scratch/whole.csv" >/dev/null 2>&1
keep cams.csv "$scratch/cams"
cd "$scratch" || exit 1
grep -v badger turns.csv >four.csv
gzip -c four.csv >four.csv.gz
if "$dialarc" round setups.csv.gz rounds.csv 2>&1 | grep "built without"; then exit 77; fi

# The output without the names of files, which findings tell.
run() { rm -f "$history"; "$dialarc" "$@" 2>stderr.raw | sed -E 's/(sweeps|turns|four|ten|rounds)\.csv(\.gz)?|standard input/TABLE/g'; }

# alike COMMAND... : its words that end in .csv are tables
alike() {
    local words=("$@") i way got
    run "${words[@]}" >wanted
    [ -s wanted ] || complain "nothing from: $*"
    cp stderr.raw wanted.stderr
    for i in "${!words[@]}"; do
        [[ ${words[i]} == *.csv ]] || continue
        for way in gzip stdin pipe-gzip; do
            local now=("${words[@]}") from=${words[i]}
            case $way in *gzip) from=$from.gz ;; esac
            case $way in gzip) now[i]=$from ;; *) now[i]=- ;; esac
            case $way in
                gzip) run "${now[@]}" ;;
                stdin*) run "${now[@]}" <"$from" ;;
                pipe*) cat <"$from" | run "${now[@]}" ;;
            esac >got
            fold -s -w 60 got | tr -s ' \n' ' ' >got.flat
            fold -s -w 60 wanted | tr -s ' \n' ' ' | cmp - got.flat || complain "${words[i]} by $way: $*"
            cmp stderr.raw wanted.stderr || complain "messages, ${words[i]} by $way: $*"
        done
    done
}

alike assess setups.csv sweeps.csv
alike assess --report setups.csv sweeps.csv
alike assess --page /dev/stdout setups.csv sweeps.csv
alike assess --dials dials.csv setups.csv sweeps.csv
alike round setups.csv rounds.csv
alike round --page /dev/stdout setups.csv rounds.csv
alike what-if setups.csv heron4 tdc_mark_crank_deg=0.5
alike what-if --cams cams.csv pumps.csv teal5 tdc_mark_crank_deg=0.5
alike cam learn pumps.csv whole.csv
alike cam check cams.csv pumps.csv ten.csv
alike lobes setups.csv turns.csv
alike lobes --csv --order 1-3-4-2 setups.csv four.csv
if "$dialarc" history near none.db 2>&1 | grep "built without"; then
    echo "skipped: history"
else
    alike history add "$history" 2026-01-31 setups.csv sweeps.csv
fi

# Every one refuses compressed data that were cut off, by name, and writes nothing.
cut_off() {
    local words=("$@") i
    for i in "${!words[@]}"; do
        [[ ${words[i]} == *.csv ]] || continue
        local now=("${words[@]}")
        now[i]=${words[i]}.cut
        head -c -9 "${words[i]}.gz" >"${now[i]}"
        expect 2 "$dialarc" "${now[@]}"
        says "${now[i]}: the compressed file ends too early: it has been cut off"
    done
}
cut_off assess setups.csv sweeps.csv
cut_off assess --dials dials.csv setups.csv sweeps.csv
cut_off round setups.csv rounds.csv
cut_off what-if setups.csv heron4 tdc_mark_crank_deg=0.5
cut_off cam learn pumps.csv whole.csv
cut_off cam check cams.csv pumps.csv ten.csv
cut_off lobes setups.csv turns.csv
rm -f "$history"
if ! "$dialarc" history near none.db 2>&1 | grep -q "built without"; then
    cut_off history add "$history" 2026-01-31 setups.csv sweeps.csv
    [ ! -e "$history" ] || complain "a history of a table that was cut off"
fi

# Memory that a long compressed table takes is that of a short one: within 4 MB.
if [ -e /proc/self/status ] && command -v python3 >/dev/null; then
    head -1 sweeps.csv >long.csv
    for n in $(seq 60); do sed "1d; s/^/$n /" sweeps.csv; done >>long.csv
    gzip -9 -c long.csv >long.csv.gz
    for table in sweeps long; do
        "${PYTHON3:-python3}" - "$dialarc" $table.csv.gz <<'END' >$table.kb || complain "memory"
import os, resource, subprocess, sys
subprocess.run([sys.argv[1], "assess", "--threads", "1", "setups.csv", sys.argv[2]],
               stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
END
    done
    [ $(($(cat long.kb) - $(cat sweeps.kb))) -lt 4096 ] || complain "memory grows: $(cat sweeps.kb) to $(cat long.kb) KB"
fi
exit $failed
