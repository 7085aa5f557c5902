#!/bin/sh
# compare.sh: schedules and scenarios side by side, in every form that compare answers.
. "$(dirname "$0")/driver.sh"
cp "$here/schedules.conf" .

expect 0 check schedules.conf
expect 0 compare schedules.conf
has "$out" "one day"
has "$out" "by and by"
has "$out" "pieces at the shade"
has "$out" "Cost of materials"
has "$out" "Ranking  most cloth at the shade: one day, then by and by"
has "$out" "Why      one day and by and by bring as much cloth to the shade"
has "$out" "Failed"
is_silent "$err"
is_not_there schedules.h5
awk 'length > 80 { print "too wide: " $0; bad = 1 } END { exit bad }' "$out" || fail "a line is wider than 80 columns"

expect 0 compare schedules.conf --goal=labour
has "$out" "Ranking  fewest acts of care: one day, then by and by"
expect 0 compare schedules.conf --goal=soon
has "$out" "Ranking  all cloth at the shade soonest: one day"
has "$out" "one day is done on day 1 and by and by on day 3"
expect 0 compare schedules.conf --goal=pigment
has "$out" "Ranking  least pigment used up"
expect 0 compare schedules.conf --goal=steady
has "$out" "Ranking  steadiest shade"
expect 2 compare schedules.conf --goal=speed
has "$err" "'--goal=speed' is not known"

# Live vats are told by what they are fed with and kept by.
scenarios=$here/../../scenarios
expect 0 compare "$scenarios/bran-seeded.conf" "$scenarios/bran-unseeded.conf"
has "$out" "Feed used, g"
has "$out" "Alkali used, as soda, g"
! grep -q 'Lime used' "$out" || fail "soda is told as lime"
! sed '/worst ORP/d' "$out" | grep -q ' -[0-9]' || fail "less than nothing is left"
expect 0 compare "$scenarios/bran-seeded.conf" "$scenarios/fresh-vat.conf"
has "$out" "Lime, or soda, used, g"

# The same cloth at another depth, and twice as many pieces, for all schedules.
expect 0 compare schedules.conf --shade=palest --set cloth.ribbon.count=24 --csv
has "$out" "rank,name,at_shade (kg),"
has "$out" '"one day",0.48,24,24,'

# More than any of them can do.
expect 0 compare schedules.conf --shade=navy
has "$out" "Note     none brings all cloth to its shade"

# Prices of one's own take the place of the file's.
expect 0 compare schedules.conf --csv
grep '"one day"' "$out" | grep -q ',4.8066' || fail "45 g at 9/100 g, 135 g at 4/kg, 90 g at 2/kg and 9.2 L at 4/m3 are 4.81"
expect 0 compare schedules.conf --price='indigo powder=10/kg'
grep 'Cost of materials' "$out" | grep -q '0.45 *0.45' || fail "45 g at 10/kg are 0.45"
has "$out" "some materials have no price"
expect 2 compare schedules.conf --price='indigo pwder=1/kg'
has "$err" "did you mean 'indigo powder'?"
expect 2 compare schedules.conf --price='lime'
expect 2 compare schedules.conf --csv --json

# JSON that other programs read.
expect 0 compare schedules.conf --json
if command -v python3 >/dev/null; then
    python3 - "$out" <<'P' || fail "the JSON is not as promised"
import json, sys
told = json.load(open(sys.argv[1]))
assert told["goal"] == "cloth"
names = [one["name"] for one in told["ranking"]]
assert names == ["one day", "by and by"], names
first = told["ranking"][0]["figures"]
assert first["at_shade"] == 0.24 and first["done_on"] == 1, first
assert abs(first["indigo_on_cloth"] + first["indigo_left"] + first["indigo_lost"] - first["indigo_used"]) < 1e-6
assert told["units"]["at_shade"] == "kg"
assert "day" in told["ranking"][1]["why_behind_the_first"]
P
fi

# Results for the report, which says the same.
mkdir out
expect 0 compare schedules.conf -o out/ -q
has "$out" "Results  out/one-day.h5"
has "$out" "out/by-and-by.h5"
expect 4 compare schedules.conf -o out/
has "$err" "exists already"
expect 0 compare schedules.conf -o out/ --force
expect 0 report out/one-day.h5 out/by-and-by.h5 -o both.html
has both.html '"verdict":"Ranking\tmost cloth at the shade: one-day, then by-and-by\n'
expect 0 report out/one-day.h5 out/by-and-by.h5 -o labour.html --goal=labour
has labour.html '"verdict":"Ranking\tfewest acts of care: one-day'
expect 2 report out/one-day.h5 --goal=speed -o no.html
is_not_there no.html
expect 0 show out/by-and-by.h5
has "$out" "Ribbons in two ways: by and by"

# One schedule chosen is one scenario.
expect 0 run schedules.conf --set 'schedule="by and by"' -o chosen.h5
has "$out" "Ribbons in two ways: by and by"
cmp -s chosen.h5 out/by-and-by.h5 || fail "compare and run give different results"
expect 3 run schedules.conf --set 'schedule=by and bye' -o no.h5
has "$err" 'did you mean "by and by"?'
expect 2 compare schedules.conf --set 'schedule=one day'
has "$err" "nothing to compare"
expect 2 compare small-vat.conf
has "$err" "expected two or more scenarios, or one with several 'schedules'"

# Files beside each other, of one name too.
mkdir other
cp small-vat.conf other
expect 0 compare small-vat.conf other/small-vat.conf
has "$out" "small-vat (2)"
expect 0 compare small-vat.conf schedules.conf
has "$out" "schedules/one day"
expect 3 compare small-vat.conf small-vat.conf --set vat.vessel.fill=1
expect 4 compare small-vat.conf missing.conf
