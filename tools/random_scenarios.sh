#!/bin/sh
# random_scenarios.sh [-n COUNT] [-p COUNT] [-s SEED]: runs so many random scenarios in order (20000), and so many (2000) in the
# several ways that must come to the same (tests/fuzz/fuzz_properties.c), spread over the cores with seeds from SEED (1) on; then
# the rules of one direction on 200 vats each. Prints what was exercised. Builds in build/random.
set -eu

top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=$top/build/random
count=20000
properties=2000
seed=1
while getopts n:p:s: option; do
    case $option in
        n) count=$OPTARG ;;
        p) properties=$OPTARG ;;
        s) seed=$OPTARG ;;
        *) exit 2 ;;
    esac
done

sh "$top/tools/install_packages.sh"
mkdir -p "$build"
cmake -S "$top" -B "$build" -DCMAKE_BUILD_TYPE=Release >"$build/log"
cmake --build "$build" --parallel "$(nproc)" --target fuzz_run fuzz_properties test_behaviour_rules >"$build/log" 2>&1 ||
    { cat "$build/log" >&2; exit 1; }

# Each core takes one seed and its share; what breaks stays in build/random/NAME-SEED.
spread() {
    name=$1
    each=$((($2 + $(nproc) - 1) / $(nproc)))
    processes=
    for core in $(seq 0 $(($(nproc) - 1))); do
        place=$build/$name-$((seed + core))
        mkdir -p "$place"
        (cd "$place" && exec nice "$build/tests/fuzz/fuzz_$name" --random "$each" --seed $((seed + core)) >told 2>&1) &
        processes="$processes $!"
    done
    for process in $processes; do
        wait "$process" || status=1
    done
    for core in $(seq 0 $(($(nproc) - 1))); do
        echo "fuzz_$name, seed $((seed + core)):"
        tail -n 30 "$build/$name-$((seed + core))/told"
    done
}

status=0
spread run "$count"
spread properties "$properties"
VATCAST_SEED=$seed VATCAST_VATS=200 nice "$build/tests/test_behaviour_rules" || status=1
exit $status
