#!/bin/sh
# matrix.sh [CTEST WORD]...: gcc and clang, Debug and Release: each builds all there is without a warning and passes the tests. Words
# go to ctest; without any it runs the tests that take little. Builds in build/matrix, or in $MATRIX_BUILD.
set -eu

top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
builds=${MATRIX_BUILD:-$top/build/matrix}

sh "$top/tools/install_packages.sh"
command -v clang >/dev/null 2>&1 || sh "$top/tools/install_packages.sh" "$top/tools/lint.txt"
[ $# -gt 0 ] || set -- -L 'base|chem|process|scenario|sim|record|cli|core|house' -E 'globals_can_fail|cli/(capacity|workshop|members|sweep)'

export VATCAST_WERROR=ON
status=0
for compiler in gcc clang; do
    for kind in Debug Release; do
        build=$builds/$compiler-$kind
        if ! sh "$top/tools/build.sh" "$build" -DCMAKE_C_COMPILER=$compiler -DCMAKE_BUILD_TYPE=$kind 2>/dev/null; then
            echo "$compiler $kind: does not build"
            grep -E -A 4 '(error|warning):|undefined reference' "$build/build.log" || true
            status=1
            continue
        fi
        ctest --test-dir "$build" --output-on-failure -j "$(nproc)" "$@" >"$build/tests.log" 2>&1 || status=1
        echo "$compiler $kind: $(grep 'tests passed' "$build/tests.log")"
        grep -E '\*\*\*' "$build/tests.log" || true
    done
done
exit $status
