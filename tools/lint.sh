#!/bin/sh
# lint.sh [FILE...]: clang-tidy (settings in .clang-tidy) and cppcheck (its mistakes in tools/cppcheck.txt) over src, tests and
# tools, or over the files named. Prints what they find and ends with 1, or with 0 when they find nothing.
# `lint.sh --cppcheck` leaves out clang-tidy, which takes many minutes. Configures in build/lint; LINT_BUILD names another folder.
set -eu

top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=${LINT_BUILD:-$top/build/lint}
cd "$top"

tidy=yes
if [ "${1:-}" = --cppcheck ]; then
    tidy=no
    shift
fi
[ $# -gt 0 ] || set -- $(find src tests tools -name '*.c' | sort)

sh tools/install_packages.sh tools/lint.txt
status=0
cppcheck --quiet --std=c11 --enable=warning,performance,portability,style --error-exitcode=1 --suppressions-list=tools/cppcheck.txt \
    --suppress=unmatchedSuppression --suppress=missingIncludeSystem -D_POSIX_C_SOURCE=200809L -DVATCAST_VERSION='""' \
    -DVATCAST_MODELS_BUILT='""' -DVATCAST_MODELS_INSTALLED='""' -Isrc -Itests -Itests/support -j "$(nproc)" "$@" >&2 || status=1
echo "cppcheck: $# files, $([ $status -eq 0 ] && echo nothing found || echo see above)"
[ $tidy = yes ] || exit $status

log=$(mktemp)
trap 'rm -f "$log"' EXIT
cmake -S . -B "$build" -DCMAKE_C_COMPILER=clang -DCMAKE_BUILD_TYPE=Debug >"$log" || { cat "$log" >&2; exit 1; }
# Each file once, though many tests compile it; files that this build does not compile (want of a solver) are passed over.
mkdir -p "$build/once"
known=$(python3 - "$build" "$@" <<'END'
import json, os, sys
build, files = sys.argv[1], {os.path.abspath(name): name for name in sys.argv[2:]}
with open(f"{build}/compile_commands.json") as file:
    once = {entry["file"]: entry for entry in json.load(file) if entry["file"] in files}
with open(f"{build}/once/compile_commands.json", "w") as file:
    json.dump(list(once.values()), file)
print("\n".join(files[name] for name in sorted(once)))
END
)
tidy="clang-tidy --quiet -p $build/once"
seen="--extra-arg=-include --extra-arg=$top/tools/lint_status.h"
: >"$log"
tidied=0
case "$known" in
*src/base/status.c*) $tidy src/base/status.c >>"$log" 2>&1 || tidied=1 ;;
esac
# shellcheck disable=SC2086 # the lists are meant to fall apart into words
echo "$known" | grep -v '^src/base/status.c$' | xargs -r -P "$(nproc)" -n 4 $tidy $seen >>"$log" 2>&1 || tidied=1
if [ $tidied -ne 0 ] || grep -qE '(warning|error):' "$log"; then
    tidied=1
    status=1
    cat "$log" >&2
fi
echo "clang-tidy: $(echo "$known" | wc -l) files, $([ $tidied -eq 0 ] && echo nothing found || echo see above)"
exit $status
