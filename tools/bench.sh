#!/bin/sh
# bench.sh [OPTION]...: the benchmarks; see docs/performance.md, and --help. Installs what only they need when it is missing.
set -eu

tools=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)
sh "$tools/install_packages.sh" build
sh "$tools/install_packages.sh" "$tools/bench/packages.txt" || echo "bench: going on with what is here" >&2

# The Python that the packages belong to, when another one comes first on the path.
for python in python3 /usr/bin/python3; do
    if "$python" -c 'import numpy, scipy' 2>/dev/null; then
        exec "$python" -B "$tools/bench/bench.py" "$@"
    fi
done
echo "bench: Python with NumPy and SciPy is needed" >&2
exit 1
