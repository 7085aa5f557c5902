#!/bin/sh
# output.sh: what could not be printed is not passed over.
. "$(dirname -- "$0")/driver.sh"

[ -c /dev/full ] || { echo "skipped: no /dev/full"; exit 77; }
expect 0 run -q small-vat.conf
for words in "show small-vat.h5" "materials" "--help"; do
    status=0
    "$VATCAST" $words >/dev/full 2>"$err" || status=$?
    [ "$status" -eq 4 ] || fail "vatcast $words ended with $status on a full disk, expected 4"
    has "$err" "could not be written"
done
