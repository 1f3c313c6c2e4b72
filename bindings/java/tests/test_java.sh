#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The module for Java where it has been built, and the examples of its README.
. "${srcdir:-.}/bindings/shared/kit.sh"
made=$PWD/bindings/java readme=$srcdir/bindings/java/README.md
block java "$readme" >"$work/Example.java"
block java "$readme" 2 >"$work/Tables.java"
"$JAVAC" -Xlint:all -cp "$made/dialarc.jar" -d "$work" "$work"/*.java \
    "$srcdir"/bindings/java/tests/*.java
# A small heap, so that memory that is lost outside it can be told from garbage in it.
run() {
    "$JAVA" -Xcheck:jni -Xms24m -Xmx24m -XX:+UseSerialGC \
        -Djava.library.path="$made/.libs" -cp "$made/dialarc.jar:$work" "$1"
}
run Example | same_as_readme "$readme"
(cd "$here" && run Tables >told)
run TestJava
same_results
run TestHostile
