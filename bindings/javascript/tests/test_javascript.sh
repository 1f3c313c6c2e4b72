#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The package for JavaScript in Node: its tests, and the examples of its README.
. "${srcdir:-.}/bindings/shared/kit.sh"
export PACKAGE=$PWD/bindings/javascript/package
[ -e "$PACKAGE/package.json" ] || { echo "skipped: no package, make javascript"; exit 77; }
srcdir=$(cd "${srcdir:?}" && pwd)

node --test --test-reporter=spec "$srcdir"/bindings/javascript/tests/*.test.js

mkdir "${here:?}/node_modules"
ln -s "$PACKAGE" "$here/node_modules/dialarc"
readme=$srcdir/bindings/javascript/README.md
cd "$here" || exit 1
for number in 1 2 3; do
    block js "$readme" $number >block$number.mjs
    node block$number.mjs >said$number
done
same_as_readme "$readme" <said1
