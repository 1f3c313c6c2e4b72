#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The module for Java where it has been built, and the example of its README.
. "${srcdir:-.}/bindings/shared/kit.sh"
block java "$srcdir/bindings/java/README.md" >"$work/Example.java"
"$JAVAC" -cp "$PWD/bindings/java/dialarc.jar" -d "$work" "$work/Example.java" \
    "$srcdir/bindings/java/tests/TestJava.java"
# A small heap, so that memory that is lost outside it can be told from garbage in it.
run() {
    "$JAVA" -Xcheck:jni -Xms24m -Xmx24m -XX:+UseSerialGC \
        -Djava.library.path="$PWD/bindings/java/.libs" \
        -cp "$PWD/bindings/java/dialarc.jar:$work" "$1"
}
run Example | same_as_readme "$srcdir/bindings/java/README.md"
run TestJava
same_results
