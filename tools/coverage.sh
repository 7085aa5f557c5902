#!/bin/sh
# coverage.sh [CTEST WORD]...: how much of src the tests run, in lines, by folder and as a whole; ends with 1 when it is less than
# 90 %. Words go to ctest; without any the page in a browser and the checks of the structure are left out (a count lives in a
# variable that changes, and they look for such). Builds in build/coverage, or in $COVERAGE_BUILD, where src.info is left for
# genhtml. Not to be run while sources change.
set -eu

top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=${COVERAGE_BUILD:-$top/build/coverage}
least=90

sh "$top/tools/install_packages.sh"
command -v lcov >/dev/null 2>&1 || echo lcov | sh "$top/tools/install_packages.sh" /dev/stdin
# Counts are kept by several threads at once.
sh "$top/tools/build.sh" "$build" -DCMAKE_BUILD_TYPE=Debug -DCMAKE_C_COMPILER=gcc \
    "-DCMAKE_C_FLAGS=--coverage -O1 -fprofile-update=atomic"
find "$build" -name '*.gcda' -delete

[ $# -gt 0 ] || set -- -LE 'page|house'
failed=0
ctest --test-dir "$build" --output-on-failure -j "$(nproc)" "$@" >"$build/tests.log" 2>&1 || failed=1
grep -E 'tests passed|Failed|Timeout' "$build/tests.log" || true

# With the lines of files that no test ran at all.
count() {
    lcov -q --directory "$build" --base-directory "$top" --no-external "$@" 2>"$build/lcov.log" || { cat "$build/lcov.log" >&2; exit 1; }
}
count --capture --initial --output-file "$build/none.info"
count --capture --output-file "$build/run.info"
count --add-tracefile "$build/none.info" --add-tracefile "$build/run.info" --output-file "$build/all.info"
lcov -q --extract "$build/all.info" "$top/src/*" --output-file "$build/src.info"

awk -F: -v top="$top/src/" -v least="$least" '
    /^SF:/ { file = substr($2, length(top) + 1); folder = file; sub(/\/.*/, "", folder) }
    /^LF:/ { lines[folder] += $2; all += $2; of[file] = $2 }
    /^LH:/ { hit[folder] += $2; run += $2; ran[file] = $2 }
    END {
        sorted = "sort"
        for (f in lines) printf "%-10s %5.1f %%  of %5d lines\n", f, 100 * hit[f] / lines[f], lines[f] | sorted
        close(sorted)
        for (f in of) if (100 * ran[f] < least * of[f]) printf "less than %d %%: %-30s %5.1f %%\n", least, f, 100 * ran[f] / of[f] | sorted
        close(sorted)
        printf "%-10s %5.1f %%  of %5d lines\n", "src", 100 * run / all, all
        exit 100 * run < least * all
    }' "$build/src.info" || failed=1
exit $failed
