#!/bin/sh
# models.sh: the process table and the materials, and where models are looked up.
. "$(dirname -- "$0")/driver.sh"

expect 0 processes
has "$out" "sugar-lime: "
has "$out" "  makes   "
has "$out" "  source  "
has "$out" "leuco_pk1 = "
[ "$(awk 'length > 80' "$out" | wc -l)" -eq 0 ] || fail "lines wider than 80 columns"
grep -q -E '^  makes +.* -> ' "$out" || fail "no reaction"
cp "$out" "$scratch/first"
expect 0 processes sugar-lime
cmp -s "$out" "$scratch/first" || fail "another table for the same model"
expect 0 materials
has "$out" "slaked lime"
has "$out" "cotton"
has "$out" "  care "
[ "$(awk 'length > 80' "$out" | wc -l)" -eq 0 ] || fail "lines wider than 80 columns"

status=0
"$VATCAST" processes sugar-line >"$out" 2>"$err" || status=$?
[ "$status" -eq 4 ] || [ "$status" -eq 3 ] || fail "an unknown model ended with $status"
has "$err" "sugar-line"
VATCAST_MODELS=$scratch/nowhere
export VATCAST_MODELS
status=0
"$VATCAST" processes >"$out" 2>"$err" || status=$?
[ "$status" -eq 4 ] || [ "$status" -eq 3 ] || fail "a missing models folder ended with $status"
has "$err" "nowhere"
