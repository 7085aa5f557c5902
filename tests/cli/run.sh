#!/bin/sh
# run.sh: a scenario run, shown, run again.
. "$(dirname -- "$0")/driver.sh"

expect 0 run small-vat.conf
is_silent "$err"
is_there small-vat.h5
[ "$(ls -A | wc -l)" -eq 2 ] || fail "more than the result was written"
has "$out" "Ribbons for a window: 18 L of vat, 4 days"
has "$out" "day  2  10:00  3 ribbons dipped, 6 dips in all"
has "$out" "fructose"
for label in Dyed Indigo Sugar Lime Water Air Vat Care Result; do
    grep -q "^$label " "$out" || fail "no line begins with $label"
done
has "$out" "lime into water and"
has "$out" "Dyed     3 ribbons, 120 g: "
[ "$(awk 'length > 80' "$out" | wc -l)" -eq 0 ] || fail "lines wider than 80 columns"
[ "$(tail -n 1 "$out")" = "Result   small-vat.h5" ] || fail "the last line does not say where the result lies"

# show says the same
cp "$out" "$scratch/told"
expect 0 show small-vat.h5
cmp -s "$out" "$scratch/told" || fail "show tells another story than run"

# an older result is kept unless --force
cp small-vat.h5 "$scratch/first.h5"
expect 4 run small-vat.conf
has "$err" "'small-vat.h5' exists already; choose another name or give --force"
is_silent "$out"
expect 0 run -q --force small-vat.conf
is_silent "$out"
is_silent "$err"
cmp -s small-vat.h5 "$scratch/first.h5" || fail "the same scenario gave other bytes"

# -o, --set, and options after operands
expect 0 run small-vat.conf -q -o other.h5 --set "vat.water.temperature=35 degC" --set "title=Cooler"
is_there other.h5
! cmp -s small-vat.h5 other.h5 || fail "--set changed nothing"
expect 0 show other.h5
has "$out" "Cooler: 18 L of vat"
expect 4 run small-vat.conf -q -o nowhere/result.h5
has "$err" "the folder 'nowhere' cannot be reached"
expect 3 run small-vat.conf -q -o set.h5 --set "vat.water.temperature=35"
has "$err" "--set"
is_not_there set.h5
