#!/bin/sh
# check.sh: wrong scenarios are told all at once and leave nothing behind.
. "$(dirname -- "$0")/driver.sh"

expect 0 check small-vat.conf
has "$out" "small-vat.conf: in order"
expect 0 check -q small-vat.conf
is_silent "$out"
is_not_there small-vat.h5

sed -e 's/"50 degC"/50/' -e 's/lid = "loose"/lidd = "loose"/' small-vat.conf >wrong.conf
expect 3 check wrong.conf small-vat.conf
grep -q '^wrong.conf:9: ' "$err" || fail "line 9 is not named"
grep -q '^wrong.conf:11: ' "$err" || fail "line 11 is not named"
[ "$(wc -l <"$err")" -eq 2 ] || fail "other complaints than two"
has "$out" "small-vat.conf: in order"
expect 3 run wrong.conf
[ "$(wc -l <"$err")" -eq 2 ] || fail "other complaints than two"
is_silent "$out"
is_not_there wrong.h5
expect 4 check missing.conf
has "$err" "missing.conf"
expect 4 run missing.conf
is_not_there missing.h5
