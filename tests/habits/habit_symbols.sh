#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The shared library exports what lib/dialarc.sym lists and nothing else, and no global
# name of the objects could clash in a static link.
set -u
export LC_ALL=C
list=${srcdir:-.}/lib/dialarc.sym
read -ra nm <<<"${NM:-nm}"
library=.libs/libdialarc.so
[ -e "$library" ] || { echo "skipped: no shared library here"; exit 77; }
status=0

sort -uc "$list" || { echo "$list is not sorted"; status=1; }

"${nm[@]}" -D --defined-only "$library" | awk '$2 != "A" {sub(/@.*/, "", $3); print $3}' |
    sort | diff -u "$list" - ||
    { echo "the exported names differ from $list (-: only listed, +: only exported)"; status=1; }

strangers=$(find lib -name '*.o' -exec "${nm[@]}" -g --defined-only {} + |
    awk 'NF == 3 && $3 !~ /^(dialarc|darc)_/ {print $3}' | sort -u)
[ -z "$strangers" ] || { echo "global names without a prefix: $strangers"; status=1; }
exit $status
