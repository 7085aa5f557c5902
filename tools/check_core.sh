#!/bin/sh
# check_core.sh ARCHIVE PROGRAM: the core library asks for no files, threads or libraries but GSL and the C library, and a
# program linked with it alone needs none.
set -eu

archive=${1:-}
program=${2:-}
if [ ! -s "$archive" ] || [ ! -x "$program" ]; then
    echo "usage: check_core.sh ARCHIVE PROGRAM (libvatcast_core.a and the test of the core alone, of one build)" >&2
    exit 2
fi

bad=0
asked=$(nm -u "$archive" | awk '$1 == "U" { print $2 }' | sort -u)
unwanted=$(printf '%s\n' "$asked" | grep -E '^(H5|config_|ut_|cv_|pthread_|thrd_|mtx_|sem_|dl(open|sym)$|(f|fd|fre|tmp)open(64)?$|open(64)?$|creat|read$|write$|fread$|fwrite$|fputs$|puts$|printf$|fprintf$|__f?printf_chk$|getenv$|time$|clock|gettimeofday$|exit$|abort$|rand$|random$)' || true)
if [ -n "$unwanted" ]; then
    printf '%s\n' "$unwanted" | sed "s|^|check_core: the core asks for |" >&2
    bad=1
fi
[ -n "$asked" ] || { echo "check_core: nm told nothing of $archive" >&2; bad=1; }

libraries=$(ldd "$program")
if printf '%s\n' "$libraries" | grep -E 'hdf5|libconfig|udunits|expat|pthread'; then
    echo "check_core: $program is linked with more than the core needs" >&2
    bad=1
fi
printf '%s\n' "$libraries" | grep -q 'libgsl' || echo "check_core: note: $program does not use GSL"
exit $bad
