#!/bin/sh
# sweep.sh: sweeps whole, in parts, stopped and gone on with: always the same bytes.
. "$(dirname -- "$0")/driver.sh"

over="--over vat.water.temperature=40..60degC --over leuco_pk2"
few="--set rtol=1e-4 --set record=2h"

# whole, and what is told
expect 0 sweep small-vat.conf $over $few --runs 24 -o whole.h5
is_silent "$err"
has "$out" "Ribbons for a window: 24 runs"
has "$out" "Over     vat.water.temperature from 40 to 60 degC, evenly"
has "$out" "leuco_pk2 from 12.4 to 12.9, evenly"
has "$out" "of 24 became ready to dye"
has "$out" "Depth after washing, % owf"
[ "$(awk 'length > 80' "$out" | wc -l)" -eq 0 ] || fail "lines wider than 80 columns"
[ "$(tail -n 1 "$out")" = "Result   whole.h5" ] || fail "the last line does not say where the result lies"
is_not_there whole.h5.partial
cp "$out" "$scratch/told"
expect 0 show whole.h5
cmp -s "$out" "$scratch/told" || fail "show tells another story than sweep"
expect 4 export whole.h5 -o tables
has "$err" "it holds the many runs of a sweep"

# any number of threads, another seed, no overwriting
expect 0 sweep small-vat.conf $over $few --runs 24 -o one.h5 -q -j1
expect 0 sweep small-vat.conf $over $few --runs 24 -o five.h5 -q -j5
is_silent "$out"
cmp -s whole.h5 one.h5 || fail "one thread gave other bytes"
cmp -s whole.h5 five.h5 || fail "five threads gave other bytes"
expect 0 sweep small-vat.conf $over $few --runs 24 -o other.h5 -q --seed 2
! cmp -s whole.h5 other.h5 || fail "another seed gave the same"
expect 4 sweep small-vat.conf $over $few --runs 24 -o whole.h5
has "$err" "'whole.h5' exists already"
expect 0 sweep small-vat.conf $over $few --runs 24 -o whole.h5 --force -q

# parts, in any order
for part in 1 2 3; do
    expect 0 sweep small-vat.conf $over $few --runs 24 --part $part/3 -o part.$part -q
done
expect 0 merge part.3 part.1 part.2 -o merged.h5
has "$out" "Ribbons for a window: 24 runs"
cmp -s whole.h5 merged.h5 || fail "the parts together gave other bytes"
expect 4 show part.1
has "$err" "it is a part of a sweep: 'vatcast merge' puts parts together"
expect 3 compare whole.h5
has "$err" "this is a result file; expected a scenario"
expect 4 merge part.3 part.1 -o lacking.h5
has "$err" "runs 9 to 16 of 24 are missing; give all parts"
expect 4 merge part.1 part.2 part.3 part.2 -o twice.h5
has "$err" "runs 9 to 16 are there twice"
expect 0 sweep small-vat.conf $over $few --runs 25 --part 2/3 -o part.else -q
expect 4 merge part.1 part.else part.3 -o mixed.h5
has "$err" "are parts of different sweeps"
expect 4 merge whole.h5 -o no.h5
has "$err" "'whole.h5' is no part of a sweep"
expect 4 merge part.1 part.2 part.3 -o merged.h5
has "$err" "exists already"
expect 2 merge part.1 part.2 part.3
has "$err" "expected -o FILE"

# killed: what was done is kept and gone on with. Until rows are there the sweep is let be.
"$VATCAST" sweep small-vat.conf $over $few --runs 24 -o killed.h5 -q -j2 >"$out" 2>"$err" &
process=$!
tries=0
while [ ! -s killed.h5.partial ] || [ "$(wc -c <killed.h5.partial)" -lt 300000 ]; do
    tries=$((tries + 1))
    [ $tries -lt 600 ] && kill -0 $process 2>"$scratch/null" || break
    sleep 0.05
done
kill -KILL $process 2>"$scratch/null" || true
wait $process || true
if [ ! -e killed.h5 ]; then # else it was done before it could be killed
    is_there killed.h5.partial
    expect 0 sweep small-vat.conf $over $few --runs 24 -o killed.h5
    has "$err" "of 24 runs"
fi
cmp -s whole.h5 killed.h5 || fail "after a kill the sweep gave other bytes"
is_not_there killed.h5.partial

# stopped by a signal: says so, and goes on
"$VATCAST" sweep small-vat.conf $over --runs 20000 --summary-only -o stopped.h5 -q -j2 >"$out" 2>"$err" &
process=$!
tries=0
while [ ! -s stopped.h5.partial ] && [ $tries -lt 600 ]; do
    tries=$((tries + 1))
    sleep 0.05
done
sleep 0.5
kill -INT $process
status=0
wait $process || status=$?
[ "$status" -eq 8 ] || fail "a stopped sweep ended with $status, expected 8"
has "$err" "of 20000 runs are done and kept in 'stopped.h5.partial': the same command goes on from there"
expect 4 sweep small-vat.conf $over --runs 20001 --summary-only -o stopped.h5 -q
has "$err" "was left by another sweep"

# grids, whole numbers, summaries only
expect 0 sweep small-vat.conf --grid --over vat.charge.fructose.amount=200..300g:2 --over cloth.ribbon.count=3..6:3 $few \
    --summary-only -o grid.h5
has "$out" "6 runs"
has "$out" "cloth.ribbon.count from 3 to 6, grid of 3"
cp "$out" "$scratch/told"
expect 0 show grid.h5
cmp -s "$out" "$scratch/told" || fail "show tells another story of a grid than sweep"
expect 0 sweep small-vat.conf --over constants $few --runs 2 --summary-only -o constants.h5
has "$out" "and 2"

# what will not do
expect 2 sweep small-vat.conf
has "$err" "nothing is varied"
expect 2 sweep small-vat.conf --over leuco_pk3=1..2
has "$err" "did you mean 'leuco_pk1'?"
expect 3 sweep small-vat.conf --over 'vat.watr.temperature=1..2 degC'
has "$err" "--over:1: unknown key 'watr' in vat; did you mean 'water'?"
expect 3 sweep small-vat.conf --over leuco_pk2 --over 'vat.water.temperature=20..200 degC'
has "$err" "--over:2: 'temperature' is 200 degC; expected from 0 degC to 95 degC"
expect 2 sweep small-vat.conf $over $over
has "$err" "is varied twice"
expect 2 sweep small-vat.conf --over 'lasts=2..3 days'
has "$err" "give --summary-only"
expect 2 sweep small-vat.conf $over --part 4/3
has "$err" "expected which of how many, as 2/8"
expect 2 sweep small-vat.conf $over --runs 3 --part 1/4
has "$err" "3 runs cannot be cut into 4 parts"
expect 2 sweep small-vat.conf --grid --runs 3 --over leuco_pk2:3
has "$err" "do not go together"
expect 6 sweep small-vat.conf $over --runs 100000
has "$err" "give --summary-only"
