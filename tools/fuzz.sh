#!/bin/sh
# fuzz.sh [-t SECONDS] [NAME...]: fuzzes the harnesses of tests/fuzz, all or those named, so long each (60), led by coverage.
# Needs clang with libFuzzer, which it installs on Debian; builds in build/fuzz. What is found stays in build/fuzz/found, what was
# learnt in build/fuzz/corpus, where the next round begins. A crash, once mended, goes to tests/fuzz/regressions/NAME.
set -eu

top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=$top/build/fuzz
seconds=60
while getopts t: option; do
    case $option in
        t) seconds=$OPTARG ;;
        *) exit 2 ;;
    esac
done
shift $((OPTIND - 1))

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
for name; do
    corpus=$build/corpus/$name
    mkdir -p "$corpus"
    seeds=
    for folder in "$top/tests/fuzz/corpus/$name" "$top/tests/fuzz/regressions/$name"; do
        [ ! -d "$folder" ] || seeds="$seeds $folder"
    done
    # In a shell of its own, whose children's processor time `times` tells in its last line.
    # shellcheck disable=SC2086
    if ! (
        code=0
        nice "$build/tests/fuzz/fuzz_$name" -max_total_time="$seconds" -timeout=20 -rss_limit_mb=2048 -print_final_stats=1 \
            -dict="$top/tests/fuzz/tokens.dict" -artifact_prefix="$build/found/$name-" "$corpus" $seeds >"$build/$name.log" 2>&1 ||
            code=1
        times >"$build/$name.times"
        exit $code
    ); then
        status=1
        echo "fuzz_$name: FOUND SOMETHING, see $build/$name.log and $build/found/"
        grep -E 'BROKEN|ERROR|SUMMARY|runtime error' "$build/$name.log" | head -n 5 || true
    fi
    runs=$(sed -n 's/^stat::number_of_executed_units: *//p' "$build/$name.log")
    reached=$(grep -oE 'cov: [0-9]+ ft: [0-9]+' "$build/$name.log" | tail -n 1)
    echo "fuzz_$name: ${runs:-?} inputs in $seconds s, $reached (edges, features); processor time $(tail -n 1 "$build/$name.times")"
done
exit $status
