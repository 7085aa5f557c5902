#!/bin/sh
# sweep_parallel.sh: the example of docs/sweep.md with GNU parallel, as it stands there: the same bytes as one process.
. "$(dirname -- "$0")/driver.sh"

parallel --version 2>"$scratch/null" | grep -q '^GNU parallel' || { echo "skipped: GNU parallel is missing"; exit 77; }
PATH=$(dirname -- "$VATCAST"):$PATH
export PATH
sed -n '/^    parallel /,/^    vatcast merge/p' "$here/../../docs/sweep.md" | sed 's/^    //' >example.sh
[ "$(grep -c . example.sh)" -ge 2 ] || fail "docs/sweep.md has no example with GNU parallel"
cp small-vat.conf my-vat.conf
sh -eu example.sh >"$out" 2>"$err" || fail "the example did not end well"
is_there study.h5
expect 0 sweep my-vat.conf --over 'vat.water.temperature=40..60 degC' --runs 40 -o one.h5 -q
cmp -s study.h5 one.h5 || fail "parallel parts gave other bytes than one process"
