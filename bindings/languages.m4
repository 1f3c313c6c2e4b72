dnl SPDX-License-Identifier: GPL-3.0-or-later
dnl Lua, Octave, Java and C#: each is left out, with one line that says why, when it is
dnl not wanted or something is missing. All of them need SWIG.

dnl DARC_LANGUAGE(name, NAME, Name, what follows)
dnl What follows looks for the tools and sets darc_missing to what is not there.
AC_DEFUN([DARC_LANGUAGE], [
AC_ARG_ENABLE([$1], [AS_HELP_STRING([--disable-$1], [do not build the module for $3])])
darc_missing=
AS_IF([test "x$enable_$1" = xno], [darc_missing="not wanted"],
  [test "x$enable_shared" = xno], [darc_missing="no shared libraries"],
  [test -z "$SWIG"], [darc_missing="no swig"],
  [test -z "$PYTHON3"], [darc_missing="no python3"],
  [$4])
AC_MSG_CHECKING([whether to build the module for $3])
AS_IF([test -z "$darc_missing"], [AC_MSG_RESULT([yes])],
  [AC_MSG_RESULT([no: $darc_missing])
   test "x$enable_$1" = xno ||
     AC_MSG_NOTICE([the module for $3 is left out: $darc_missing])])
AM_CONDITIONAL([HAVE_$2_MODULE], [test -z "$darc_missing"])
])

AC_DEFUN([DARC_LANGUAGES], [
DARC_LANGUAGE([lua], [LUA], [Lua], [
  AC_PATH_PROGS([LUA], [lua5.4 lua])
  PKG_CHECK_MODULES([LUA_HEADERS], [lua5.4 >= 5.4], [],
    [PKG_CHECK_MODULES([LUA_HEADERS], [lua >= 5.4], [],
      [darc_missing="no headers of Lua 5.4 (liblua5.4-dev)"])])
  AS_IF([test -z "$LUA"], [darc_missing="no lua5.4"],
    [$LUA -e 'os.exit(_VERSION == "Lua 5.4")'], [], [darc_missing="no Lua 5.4"])])

DARC_LANGUAGE([octave], [OCTAVE], [Octave], [
  AC_PATH_PROG([OCTAVE], [octave-cli])
  AC_PATH_PROG([MKOCTFILE], [mkoctfile])
  AS_IF([test -z "$OCTAVE"], [darc_missing="no octave-cli"],
    [test -z "$MKOCTFILE"], [darc_missing="no mkoctfile (octave-dev)"])])

DARC_LANGUAGE([java], [JAVA], [Java], [
  AC_PATH_PROG([JAVA], [java])
  AC_PATH_PROG([JAVAC], [javac])
  AC_PATH_PROG([JAR], [jar])
  darc_java=`readlink -f "$JAVAC" 2>/dev/null`
  darc_java=`dirname "$darc_java"`/../include
  AS_IF([test -z "$JAVA" || test -z "$JAVAC" || test -z "$JAR"],
      [darc_missing="no java, javac or jar (default-jdk-headless)"],
    [test ! -e "$darc_java/jni.h"], [darc_missing="no jni.h"])
  JAVA_CPPFLAGS="-I$darc_java -I$darc_java/linux"])
AC_SUBST([JAVA_CPPFLAGS])

DARC_LANGUAGE([csharp], [CSHARP], [C@%:@], [
  AC_PATH_PROG([MONO], [mono])
  AC_PATH_PROG([MCS], [mcs])
  AS_IF([test -z "$MONO"], [darc_missing="no mono (mono-runtime)"],
    [test -z "$MCS"], [darc_missing="no mcs (mono-mcs)"])])
])
