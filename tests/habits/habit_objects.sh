#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The library's objects hold no writable data and call nothing that prints, ends the
# program, depends on the locale, keeps hidden state or changes GSL's error handler; nor a
# BLAS, in whose place the program may have put another.
set -u
export LC_ALL=C
read -ra nm <<<"${NM:-nm}"
mapfile -t objects < <(find lib -name '*.o' | sort)
[ ${#objects[@]} -gt 0 ] || { echo "no objects found"; exit 1; }
status=0

# .data.rel.ro is written by the dynamic linker alone and read-only afterwards.
writable=$(size -A "${objects[@]}" |
    awk '/^lib\// {file = $1}
         $1 ~ /^\.(data|bss|tdata|tbss)/ && $1 !~ /^\.data\.rel\.ro/ && $2 > 0 {
             print file ": " $2 " bytes in " $1}')
[ -z "$writable" ] || { echo "writable data:"; echo "$writable"; status=1; }

forbidden='abort exit _exit _Exit quick_exit atexit raise __assert_fail
    printf fprintf vprintf vfprintf dprintf puts fputs putchar fputc putc perror
    __printf_chk __fprintf_chk __vprintf_chk __vfprintf_chk
    sprintf vsprintf __sprintf_chk __vsprintf_chk
    scanf fscanf sscanf __isoc99_scanf __isoc99_fscanf __isoc99_sscanf
    stdout stderr
    setlocale uselocale localeconv strtod strtof strtold atof strtok
    rand srand random srandom drand48 time localtime gmtime ctime asctime getenv setenv
    tmpnam signal sigaction system
    gsl_set_error_handler gsl_set_error_handler_off gsl_error gsl_abort gsl_stream_printf
    gsl_rng_env_setup'
calls=$("${nm[@]}" -A -u "${objects[@]}" | awk -v names="$forbidden" '
    BEGIN {n = split(names, list); for (i = 1; i <= n; i++) bad[list[i]] = 1}
    {sub(/@.*/, "", $NF)} $NF in bad || $NF ~ /^(gsl_|c)blas_|^gsl_linalg_/ {print $1, $NF}')
[ -z "$calls" ] || { echo "forbidden calls:"; echo "$calls"; status=1; }
exit $status
