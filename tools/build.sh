#!/bin/sh
# build.sh FOLDER [CMAKE OPTION]...: configures and builds into FOLDER; quiet unless something is wrong.
# VATCAST_WERROR=ON in the environment turns compiler warnings into errors; without it the folder keeps what it had.
set -eu

top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=$1
shift

mkdir -p "$build"
log=$build/build.log
if ! cmake -S "$top" -B "$build" ${VATCAST_WERROR:+"-DVATCAST_WERROR=$VATCAST_WERROR"} "$@" >"$log" 2>&1; then
    cat "$log" >&2
    exit 1
fi
if ! cmake --build "$build" --parallel "$(nproc)" >"$log" 2>&1; then
    cat "$log" >&2
    exit 1
fi
grep -E -A 6 'warning:' "$log" >&2 || true
