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
