#!/bin/sh
# The check of the floors complains about each thing it is for; run on a small house full of faults.
set -eu

check=$1
house=$(mktemp -d)
trap 'rm -rf "$house"' EXIT
mkdir -p "$house/src/base" "$house/src/chem" "$house/src/sim" "$house/src/scenario" "$house/src/cli" "$house/src/process" "$house/src/attic"
cd "$house/src"
printf '/* printf("in a comment") exit(1) */\nint base_word(void);\n' >base/good.h
printf '#include "base/good.h"\n#include <math.h>\nconst char *word = "exit(1) stdout";\n' >chem/good.c
printf '#include "scenario/scenario.h"\n#include "chem/good.h"\n#include <gsl/gsl_math.h>\n' >sim/good.c
printf '#include "sim/run.h"\n#include <stdio.h>\nint main(void) { printf("x"); exit(0); }\n' >cli/good.c
sh "$check" "$house" >"$house/told" || { echo "complains about a sound house:"; cat "$house/told"; exit 1; }

# Each fault alone: file, line of code, what the complaint must say.
fault() {
    printf '%s\n' "$2" >"$1"
    if sh "$check" "$house" >"$house/told"; then echo "missed in $1: $2"; exit 1; fi
    grep -q "^src/$1:1: .*$3" "$house/told" || { echo "told something else of $1: $2"; cat "$house/told"; exit 1; }
    rm "$1"
}
fault base/bad.c '#include "chem/water.h"' 'may not include'
fault chem/bad.c '#include "scenario/scenario.h"' 'may not include'
fault sim/bad.c '#include "scenario/read.h"' 'may not include'
fault sim/bad.c '#include "record/record.h"' 'may not include'
fault sim/bad.c '#include "run.h"' 'name it from src'
fault sim/bad.c '#include <hdf5.h>' 'belongs in'
fault sim/bad.c '#  include  <hdf5_hl.h>' 'belongs in'
fault scenario/bad.c '#include <libconfig.h>' 'belongs in'
fault scenario/bad.c '#include <udunits2.h>' 'belongs in'
fault scenario/bad.c '#include <gsl/gsl_math.h>' 'belongs in'
fault process/bad.c '#include <stdio.h>' 'no place'
fault chem/bad.c '#include <time.h>' 'no place'
fault sim/bad.c '#include <pthread.h>' 'no place'
fault cli/bad.c '#include <pthread.h>' 'belongs in'
fault cli/bad.c '#include <threads.h>' 'belongs in'
fault sim/bad.c 'void f(void) { printf("x"); }' 'prints or ends'
fault sim/bad.c 'void f(void) { exit (1); }' 'prints or ends'
fault sim/bad.c 'void f(void) { fprintf(stderr, "x"); }' 'stdout and stderr'
fault base/bad.c 'int f(void) { return rand(); }' 'hidden state'
fault attic/bad.c 'int f(void);' 'no floor'
