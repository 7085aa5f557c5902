#!/bin/sh
# Installs, builds the release and runs the main job: six weeks of a vat, told on the screen and kept in a file.
set -eu

scenario=valley-sashes

top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=$top/build/release
result=$top/build/demo/$scenario.h5

sh "$top/tools/install_packages.sh" build
sh "$top/tools/build.sh" "$build" -DCMAKE_BUILD_TYPE=Release -DVATCAST_SANITIZE=OFF -DVATCAST_TESTS=OFF

mkdir -p "$(dirname -- "$result")"
VATCAST_MODELS=$top/models "$build/vatcast" run "$top/scenarios/$scenario.conf" -o "$result" --force

[ -s "$result" ] || { echo "demo: no result was written at $result" >&2; exit 1; }
echo
echo "The result lies in $result"
echo "Tell it again:        $build/vatcast show $result"
echo "Tables as text files: $build/vatcast export $result -o tables"
