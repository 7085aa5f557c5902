#!/bin/sh
# stops.sh: a run that is interrupted or fails leaves NAME.partial.h5, another exit status, and the older result alone.
. "$(dirname -- "$0")/driver.sh"

# The vat freezes: outside of the model.
printf 'older' >cold.h5
expect 5 run small-vat.conf -o cold.h5 --force --set "vat.place.night=-28 degC" --set "vat.place.day=-20 degC"
has "$err" "freezes"
has "$err" "what was done so far is in 'cold.partial.h5'"
[ "$(cat cold.h5)" = older ] || fail "the older result was harmed"
expect 0 show cold.partial.h5
has "$out" "this run did not reach its end: failed; "
has "$out" "freezes"

# Stopped by a signal, as soon as the program listens; a run of years lasts long enough.
"$VATCAST" run small-vat.conf --set "lasts=3 years" --set "record=4 min" --set "rtol=1e-9" -o long.h5 >"$out" 2>"$err" &
process=$!
sleep 1
kill -TERM "$process"
status=0
wait "$process" || status=$?
[ "$status" -eq 8 ] || fail "an interrupted run ended with $status, expected 8"
has "$err" "what was done so far is in 'long.partial.h5'"
is_not_there long.h5
expect 0 show long.partial.h5
has "$out" "this run did not reach its end: interrupted"
