#!/bin/sh
# capacity.sh: what a vat bears, in every form that capacity answers.
. "$(dirname "$0")/driver.sh"
cp "$here/schedules.conf" .

expect 0 capacity schedules.conf --members=0 --hours='1 h' -q
has "$out" "Ribbons in two ways: one day: 9 L with 18 g of indigotin; ribbon of cotton"
for word in Session Limit Rest Week Indigo Life Shade Cloth Care; do
    grep -q "^$word  " "$out" || fail "there is no line '$word'"
done
has "$out" "kg of cloth-dips before it must rest"
has "$out" "kg for each 100 g of the powder"
has "$out" "12 of 'ribbon', 0.2 kg, have it after"
lacks "$out" "Range"
is_silent "$err"
awk 'length > 80 { print "too wide: " $0; bad = 1 } END { exit bad }' "$out" || fail "a line is wider than 80 columns"

expect 0 capacity schedules.conf --members=1 --hours='1 h' --table --json -q
if command -v python3 >/dev/null; then
    python3 - "$out" <<'P' || fail "the JSON is not as promised"
import json, sys
told = json.load(open(sys.argv[1]))
session, week = told["session"], told["week"]
assert session["low_kg"] <= session["cloth_dips_kg"] <= session["high_kg"]
assert 0 < week["load_kg"] <= session["load_kg"] * 1.0001
assert session["limit"] in ("leuco", "sugar", "lime", "temperature", "air", "sediment", "volume")
shade = told["at_shade"]
assert shade["shade"] == "light blue" and shade["dips"] >= 1
assert abs(shade["per_100_g_kg"] - shade["kg"] / 0.45) < 1e-9
assert told["members"] == 1 and told["members_drawn"] >= 1
assert len(told["by_weight"]) == 4
assert told["by_weight"][0]["at_shade_kg"]["pale blue"] > told["by_weight"][0]["at_shade_kg"]["mid blue"]
P
fi

expect 0 capacity schedules.conf --members=0 --hours='1 h' --shade=mid --csv -q
has "$out" "what,most_likely (kg),low (kg),high (kg)"
has "$out" "cloth_dips_of_session,"
has "$out" "cloth_at_shade,"

expect 2 capacity schedules.conf --hours='23 h'
has "$err" "leave two hours between them"
expect 2 capacity schedules.conf --keep=2
expect 2 capacity schedules.conf --cloth=sash
has "$err" "'--cloth=sash' is none of the scenario's cloth"
expect 2 capacity schedules.conf --shade=green
expect 2 capacity schedules.conf --csv --json
expect 2 capacity

# A vat that never comes is the scenario's fault, and said so.
expect 3 capacity schedules.conf --set 'vat.charge.fructose.amount=1 mg' --set 'schedule=one day' --set 'schedules.1.calendar=()' \
    --members=0
has "$err" "is never ready to dye"
