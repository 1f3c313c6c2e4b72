#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Each exported function that computes is called by a host that is not kind: by a task of
# tests/kit/hostile_*.c, or by tests/whole/vectors, which runs with exceptions trapped.
set -u
top=${srcdir:-.} status=0
calls=$(cat "$top"/tests/kit/hostile_*.c "$top"/tests/whole/vectors*.c "$top"/tests/whole/test_hostile.c)
# What gives words, counts, memory or a constant; files go through the readers of streams;
# what reads a workspace has its own tests.
exempt='_(text|name|code|header|count|find|load|has|worst|new|free|next|version)$|_per_(in|bar|psi|kgf_c?m|lbf|lbf_ft|lbf_in)$'
exempt+='|k_at_0_celsius$|read_memory$|setup_(check|cam_known)$|reuse_estimate$'
exempt+='|batch_assess$'
while read -r name; do
    [[ $name =~ $exempt ]] && continue
    grep -qwE "$name|${name#dialarc_}" <<<"$calls" && continue
    echo "$name is called neither by tests/kit/hostile_*.c nor by tests/whole/vectors"
    status=1
done <"$top/lib/dialarc.sym"
exit $status
