#!/bin/sh
# check_globals.sh ARCHIVE...: no variable that outlives a call and can change. Two vats may then run side by side.
# Fails on any object in a writable section of the static libraries that is not on the list below.
set -eu

# Symbols that may stay, each with its reason. None so far.
allowed='^$'

found=0
for archive in "$@"; do
    [ -s "$archive" ] || { echo "check_globals: no such archive: $archive" >&2; exit 1; }
    # Constant tables of pointers lie in .data.rel.ro, which the loader seals. Sanitizers add names of their own.
    changeable=$(objdump -t "$archive" | awk '
        /file format/ { member = $1; next }
        {
            section = ""
            for (i = 2; i < NF; i++) if (section == "" && $i ~ /^(\.data|\.bss|\.tdata|\.tbss|\*COM\*)/) section = $i
            if (section == "" || section ~ /^\.data\.rel\.ro/) next
            if ($NF == section || $NF ~ /^(__odr_asan|__asan|__ubsan|\.L|\*\.L)/) next
            print $NF " in " member " " section
        }' | grep -v -E "$allowed" || true)
    if [ -n "$changeable" ]; then
        printf '%s\n' "$changeable" | sed "s|^|check_globals: a variable that can change: |" >&2
        found=1
    fi
done
exit $found
