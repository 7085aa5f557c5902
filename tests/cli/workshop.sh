#!/bin/sh
# workshop.sh: the verb tells what it promises within 80 columns, in words, JSON and CSV, the same each time; its result is read,
# told, exported and drawn; wrong calls are refused.
. "$(dirname "$0")/driver.sh"

cp "$here/../../scenarios/workshop-class.conf" class.conf
set -- --set rtol=1e-4 --replications 3 -q

expect 0 workshop class.conf "$@" --no-table -o class.h5
is_silent "$err"
for label in Waiting Pieces Shade "Vat 1" "Vat 2" "In use" Limit Care Result; do
    has "$out" "$label"
done
has "$out" "12 people with 2 pieces each"
has "$out" "10:00 to 16:00"
has "$out" "sealed goggles"
lacks "$out" "nan"
lacks "$out" "Other plans"
[ "$(awk '{ if (length($0) > 80) n++ } END { print n + 0 }' "$out")" -eq 0 ] || fail "a line is wider than 80 columns"
cp "$out" first.txt
expect 4 workshop class.conf "$@" --no-table -o class.h5
has "$err" "exists already"
expect 0 workshop class.conf "$@" --no-table -o class2.h5
sed 's/class2/class/' "$out" | cmp -s - first.txt || fail "the same call gave two different answers"
cmp -s class.h5 class2.h5 || fail "the same call gave two different results"
expect 0 workshop class.conf "$@" --no-table --seed 99
! cmp -s "$out" first.txt || fail "another seed gave the same days"

# The table, and other plans.
expect 0 workshop class.conf "$@" --vats 2 --sizes '15 L,30 L'
for words in "Other plans, 3 days each" "1 vat of 15 L, 2 places" "2 vats of 30 L, 3 places" "Spare" "Made" "Fed" "as written"; do
    has "$out" "$words"
done
lacks "$out" "nan"
[ "$(awk '{ if (length($0) > 80) n++ } END { print n + 0 }' "$out")" -eq 0 ] || fail "a line is too wide"

# For programs.
expect 0 workshop class.conf "$@" --no-table --json
python3 - "$out" <<'END' || fail "the JSON will not do"
import json, sys
answer = json.load(open(sys.argv[1]))
plan = answer["as_written"]
assert plan["pieces"] == 24 and plan["days"] == 3 and len(plan["vats"]) == 2
assert 0 <= plan["wait_p50_min"] <= plan["wait_p90_min"] <= plan["wait_longest_min"]
assert plan["owf_p10_percent"] <= plan["owf_p50_percent"] <= plan["owf_p90_percent"]
assert answer["limit"] in ("", "places in the vats", "helpers", "drying lines", "rinse tubs")
assert answer["plans"] == [] and answer["chemistry"] is True
END
expect 0 workshop class.conf "$@" --no-table --csv
[ "$(wc -l <"$out")" -eq 25 ] || fail "not a row for each piece"
has "$out" "piece,person,arrived [s],dips,vat,waited [s],done [s],owf [%],shade"

# People and places only.
expect 0 workshop class.conf "$@" --no-table --no-chemistry
has "$out" "a vat never tires"
expect 2 workshop class.conf "$@" --no-chemistry -o none.h5
is_not_there none.h5

# What reads the result.
expect 0 show class.h5
has "$out" "A class of twelve"
has "$out" "Waiting"
has "$out" "Care"
expect 0 export class.h5 -o tables
has "$out" "14 tables"
has tables/workshop_day.csv "waiting_nine (1)"
is_there tables/vat_2_series.csv
[ "$(wc -l <tables/pieces.csv)" -eq 25 ] || fail "not every piece is in the table"
has tables/pieces.csv "waited (s)"
expect 0 report class.h5
has class.html '"workshop":{'
expect 2 report class.h5 class2.h5 -o both.html
has "$err" "a page to itself"
is_not_there both.html

# What cannot be.
expect 3 workshop small-vat.conf -q
has "$err" "has no workshop"
expect 2 workshop class.conf --json --csv
expect 2 workshop class.conf --sizes '20'
has "$err" "'20 L, 60 L'"
expect 2 workshop class.conf --sizes ','
expect 2 workshop class.conf --vats 0
expect 2 workshop class.conf --replications 0
expect 2 workshop class.conf --shade purple
expect 2 workshop
expect 3 workshop class.conf --set workshop.closes='day 2 09:00'
has "$err" "'closes' is not after 'opens'"
