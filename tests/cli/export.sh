#!/bin/sh
# export.sh: the tables as comma-separated text.
. "$(dirname -- "$0")/driver.sh"

expect 0 run -q small-vat.conf
expect 0 export small-vat.h5 -o tables
has "$out" "tables in tables"
for name in series events dips pieces notes \
    ledger_indigo ledger_hexose ledger_lime ledger_oxygen ledger_water ledger_heat; do
    is_there "tables/$name.csv"
done
[ "$(ls tables | wc -l)" -eq 11 ] || fail "other tables than eleven"
head -n 1 tables/series.csv | grep -q '^time (s),temperature (degC),' || fail "no header with units"
[ "$(wc -l <tables/series.csv)" -ge 193 ] || fail "fewer rows than recording times"
has tables/events.csv "add fructose"
has tables/dips.csv "ribbon"
columns=$(head -n 1 tables/series.csv | tr -cd ',' | wc -c)
awk -F, -v n="$columns" 'NF != n + 1 { exit 1 }' tables/series.csv || fail "rows of unequal length"
expect 4 export small-vat.h5 -o tables
has "$err" "exists already"
expect 0 export small-vat.h5 -o tables --force -q
is_silent "$out"
