#!/bin/sh
# members.sh: a run with members: ranges in the story, the same from run and show, the same on any number of threads.
. "$(dirname -- "$0")/driver.sh"

expect 0 run small-vat.conf --members 6 --set rtol=1e-4 -o banded.h5
is_silent "$err"
has "$out" "Likely   of 6 vats that this one may be, by all that is uncertain, "
grep -q '^         [a-z ]* blue: 0\.[0-9]* % owf (0\.[0-9]* to ' "$out" || fail "the depth has no range"
has "$out" "ready after"
[ "$(awk 'length > 80' "$out" | wc -l)" -eq 0 ] || fail "lines wider than 80 columns"
cp "$out" "$scratch/told"
expect 0 show banded.h5
cmp -s "$out" "$scratch/told" || fail "show tells another story than run"
expect 0 run small-vat.conf --members 6 --set rtol=1e-4 -o again.h5 -q -j1
cmp -s banded.h5 again.h5 || fail "one thread gave other bytes"
expect 0 export banded.h5 -o tables
for table in members percentiles figures; do
    is_there tables/$table.csv
done
[ "$(wc -l <tables/members.csv)" -eq 7 ] || fail "members.csv has not a row per member"
head -n 1 tables/series.csv | tr , '\n' | grep -q '^ph_p05' || fail "series.csv has no bands"
expect 0 run small-vat.conf --set rtol=1e-4 -o plain.h5
lacks "$out" "Likely"
expect 0 export plain.h5 -o plain
is_not_there plain/members.csv
expect 2 run small-vat.conf --members 1
has "$err" "expected a whole number from 2 to 500"

# a picture has the bands: one filled shape for each series, and words
expect 0 plot banded.h5 --series=ph,leuco -o banded.svg
[ "$(grep -c 'fill-opacity' banded.svg)" -eq 2 ] || fail "the picture has not a band for each series"
has banded.svg "Of 6 vats that this one may be, nine in ten end at "
expect 0 plot plain.h5 --series=ph,leuco -o plain.svg
lacks plain.svg "fill-opacity"
expect 0 report banded.h5 -o banded.html
has banded.html '"members":6'

# stopped among the members: the run is whole, the members that were done are kept, and the file says so. A signal that
# comes before two are done is given again, later.
wait=1
while :; do
    "$VATCAST" run small-vat.conf --set "lasts=30 days" --members 500 --force -o stopped.h5 >"$out" 2>"$err" &
    process=$!
    sleep $wait
    kill -INT $process
    status=0
    wait $process || status=$?
    [ "$status" -eq 8 ] || fail "a run stopped among its members ended with $status, expected 8"
    done=$(sed -n 's/.*stopped; \([0-9]*\) of 500 members are done.*/\1/p' "$err")
    [ "${done:-0}" -lt 2 ] || break
    wait=$((2 * wait))
    [ $wait -le 64 ] || fail "no members in a minute"
done
has "$err" "what was done so far is in 'stopped.partial.h5'"
is_not_there stopped.h5
expect 0 show stopped.partial.h5
has "$out" "Stopped  interrupted; the run itself is whole; of its 500 members $done are done"
has "$out" "Likely   of $done vats that this one may be"
expect 0 export stopped.partial.h5 -o stopped
[ "$(wc -l <stopped/members.csv)" -eq $((done + 1)) ] || fail "members.csv has not a row per member that was done"
