#!/bin/sh
# fuzz.sh [-t SECONDS | -c MINUTES] [NAME...]: fuzzes the harnesses of tests/fuzz, all or those named, led by coverage: so long each
# by the clock (60), or until each has used so much processor time, in slices of at most ten minutes by the clock, since on a busy
# machine the clock says little of what was tried. Ends with a table of inputs, edges and processor time.
# Needs clang with libFuzzer, which it installs on Debian; builds in build/fuzz. What is found stays in build/fuzz/found, what was
# learnt in build/fuzz/corpus, where the next round begins. A crash, once mended, goes to tests/fuzz/regressions/NAME.
set -eu

top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=$top/build/fuzz
seconds=60
minutes=
usage() {
    echo "usage: fuzz.sh [-t SECONDS | -c MINUTES] [NAME...]" >&2
    exit 2
}
while getopts t:c: option; do
    case $option in
        t) seconds=$OPTARG ;;
        c) minutes=$OPTARG ;;
        *) usage ;;
    esac
done
shift $((OPTIND - 1))
case $seconds$minutes in *[!0-9]*) usage ;; esac

sh "$top/tools/install_packages.sh"
if ! printf 'int LLVMFuzzerTestOneInput(const char *d, unsigned long n);int LLVMFuzzerTestOneInput(const char *d, unsigned long n){(void)d;(void)n;return 0;}' |
    clang -x c -fsanitize=fuzzer,address - -o /dev/null 2>/dev/null; then
    echo "Installing: clang libclang-rt-14-dev"
    as_root=
    [ "$(id -u)" -eq 0 ] || as_root=sudo
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get -q -y --no-install-recommends install clang libclang-rt-14-dev >/dev/null
fi

mkdir -p "$build/found"
[ $# -gt 0 ] || set -- $(cd "$top/tests/fuzz" && ls fuzz_*.c | sed 's/^fuzz_//; s/\.c$//')
targets=
for name; do
    targets="$targets fuzz_$name"
done
cmake -S "$top" -B "$build" -DCMAKE_C_COMPILER=clang -DCMAKE_BUILD_TYPE=Release -DVATCAST_SANITIZE=ON -DVATCAST_FUZZ=ON >"$build/log"
# shellcheck disable=SC2086 # the list is meant to fall apart into words
cmake --build "$build" --parallel "$(nproc)" --target $targets >"$build/log" 2>&1 || { cat "$build/log" >&2; exit 1; }

export LSAN_OPTIONS="suppressions=$top/tests/house/not_our_leaks.txt:print_suppressions=0"
status=0
table=$build/table
: >"$table"

# Runs fuzz_$name for $1 seconds by the clock; adds to $inputs and $used (processor time, hundredths of a second). The status: whether
# it found nothing.
slice() {
    sound=0
    # In a shell of its own, whose children's processor time `times` tells in its last line.
    # shellcheck disable=SC2086 # the list of seeds is meant to fall apart into words
    (
        code=0
        nice "$build/tests/fuzz/fuzz_$name" -max_total_time="$1" -timeout=20 -rss_limit_mb=2048 -print_final_stats=1 \
            -dict="$top/tests/fuzz/tokens.dict" -artifact_prefix="$build/found/$name-" "$corpus" $seeds >"$build/$name.log" 2>&1 ||
            code=1
        times >"$build/$name.times"
        exit $code
    ) || sound=1
    runs=$(sed -n 's/^stat::number_of_executed_units: *//p' "$build/$name.log")
    inputs=$((inputs + ${runs:-0}))
    used=$((used + $(tail -n 1 "$build/$name.times" | tr 'ms' '  ' | awk '{ printf "%d", 100 * (60 * ($1 + $3) + $2 + $4) }')))
    return $sound
}

for name; do
    corpus=$build/corpus/$name
    mkdir -p "$corpus"
    seeds=
    for folder in "$top/tests/fuzz/corpus/$name" "$top/tests/fuzz/regressions/$name"; do
        [ ! -d "$folder" ] || seeds="$seeds $folder"
    done
    inputs=0
    used=0
    sound=0
    if [ -z "$minutes" ]; then
        slice "$seconds" || true
    else
        while [ $sound -eq 0 ] && [ $used -lt $((6000 * minutes)) ]; do
            left=$(((6000 * minutes - used + 99) / 100))
            slice $((left < 600 ? left : 600)) || true
        done
    fi
    if [ $sound -ne 0 ]; then
        status=1
        echo "fuzz_$name: FOUND SOMETHING, see $build/$name.log and $build/found/"
        grep -E 'BROKEN|ERROR|SUMMARY|runtime error' "$build/$name.log" | head -n 5 || true
    fi
    reached=$(grep -oE 'cov: [0-9]+ ft: [0-9]+' "$build/$name.log" | tail -n 1)
    took=$(awk -v used=$used 'BEGIN { printf "%.1f", used / 6000 }')
    echo "fuzz_$name: $inputs inputs, $reached (edges, features); processor time $took min"
    echo "$name $inputs $(echo "$reached" | awk '{ print $2 + 0 }') $took" >>"$table"
done

printf '\n%-12s %12s %8s %18s\n' harness inputs edges 'processor minutes'
while read -r name inputs edges took; do
    printf '%-12s %12s %8s %18s\n' "$name" "$inputs" "$edges" "$took"
done <"$table"
exit $status
