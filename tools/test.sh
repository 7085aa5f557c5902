#!/bin/sh
# Installs, builds with the address and undefined-behaviour sanitizers and runs every test.
# Words after the command go to ctest: `sh tools/test.sh -R chem` runs the tests of one floor.
set -eu

top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=$top/build/test

sh "$top/tools/install_packages.sh"
sh "$top/tools/build.sh" "$build" -DCMAKE_BUILD_TYPE=Debug -DVATCAST_SANITIZE=ON -DVATCAST_TESTS=ON

export UBSAN_OPTIONS="${UBSAN_OPTIONS:-print_stacktrace=1}"
exec ctest --test-dir "$build" --output-on-failure -j "$(nproc)" "$@"
