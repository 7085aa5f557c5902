#!/bin/sh
# valgrind.sh [VERB...]: every verb of the program, or those named, on small scenarios under valgrind's memcheck: no byte is read that was
# not written, or that is not ours, and none is lost; refusals and an interrupted run besides. What libraries lose is named in
# tools/valgrind.supp. Builds in build/valgrind, or in $VALGRIND_BUILD.
set -eu

top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
build=${VALGRIND_BUILD:-$top/build/valgrind}

sh "$top/tools/install_packages.sh" build
command -v valgrind >/dev/null 2>&1 || echo valgrind | sh "$top/tools/install_packages.sh" /dev/stdin
sh "$top/tools/build.sh" "$build" -DCMAKE_BUILD_TYPE=RelWithDebInfo -DVATCAST_TESTS=OFF
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
cd "$scratch"
cp "$top/tests/cli/small-vat.conf" "$top/tests/faults/short-vat.conf" "$top/tests/cli/schedules.conf" .
unset VATCAST_MODELS

[ $# -gt 0 ] || set -- run check show report plot export advise compare capacity workshop rehearse lesson sweep merge processes materials refusals
failed=0
runs=0
# checked STATUS WORD...: the program ends with STATUS and valgrind finds nothing; the children that try out a result file count too.
checked() {
    wanted=$1
    shift
    runs=$((runs + 1))
    rm -f log.*
    status=0
    valgrind -q --leak-check=full --show-leak-kinds=definite,indirect,possible --errors-for-leak-kinds=definite,indirect,possible \
        --error-exitcode=99 --num-callers=20 --suppressions="$top/tools/valgrind.supp" --log-file="$scratch/log.%p" \
        "$build/vatcast" "$@" >out 2>err <"$input" || status=$?
    if [ $status -ne "$wanted" ] || [ -n "$(cat log.*)" ]; then
        failed=$((failed + 1))
        echo "WRONG: vatcast $*: ended with $status, expected $wanted" >&2
        head -n 40 err log.* >&2
    fi
}

input=/dev/null

result() {
    [ -e small-vat.h5 ] || "$build/vatcast" run -q small-vat.conf -o small-vat.h5
}

for verb; do
    before=$runs
    case $verb in
    run)
        checked 0 run short-vat.conf
        checked 0 run small-vat.conf -o other.h5 --set seed=7
        checked 0 run short-vat.conf --members=3 -o members.h5
        ;;
    check) checked 0 check small-vat.conf "$top"/scenarios/*.conf ;;
    show) result && checked 0 show small-vat.h5 ;;
    report) result && checked 0 report small-vat.h5 && checked 0 report small-vat.h5 small-vat.h5 -o two.html ;;
    plot) result && checked 0 plot small-vat.h5 -o a.svg && checked 0 plot small-vat.h5 -o a.png ;;
    export) result && checked 0 export small-vat.h5 -o tables ;;
    advise)
        checked 0 advise "$top/scenarios/advice-cold.conf" -j 1
        checked 0 advise "$top/scenarios/advice-last.conf" --retire --json
        ;;
    compare) checked 0 compare schedules.conf && checked 0 compare schedules.conf --json ;;
    capacity) checked 0 capacity small-vat.conf --members=0 --hours='1 h' ;;
    workshop)
        checked 0 workshop "$top/scenarios/workshop-class.conf" --no-chemistry --replications=3
        checked 0 workshop "$top/scenarios/workshop-class.conf" --no-table --replications=1 -o day.h5
        checked 0 show day.h5
        ;;
    rehearse)
        printf '%s\n' look 'add 20 g fructose' stir 'wait 2 h' 'what if wait 1 day' 'back 1' advice 'test strip' why reveal \
            'save by-hand.conf' 'save by-hand.h5' 'report by-hand.html' >sentences
        input=sentences
        checked 0 rehearse "$top/scenarios/fresh-vat.conf" --journal by-hand.session
        echo 'wait 1 h' >sentences
        checked 0 rehearse --resume by-hand.session
        echo 'pour soup' >sentences
        checked 3 rehearse "$top/scenarios/fresh-vat.conf"
        input=/dev/null
        ;;
    lesson)
        checked 0 lesson
        input=$(find "$top/tests" -name lime-short.bad.txt)
        checked 0 lesson lime-short
        input=/dev/null
        ;;
    sweep)
        checked 0 sweep short-vat.conf --over=constants -n 4 -j 2 -o sweep.h5
        checked 0 sweep short-vat.conf --over=vat.water.temperature='40..60 degC:2' --grid --summary-only -o grid.h5
        ;;
    merge)
        checked 0 sweep short-vat.conf --over=constants -n 4 -j 1 --part=1/2 -o one.part
        checked 0 sweep short-vat.conf --over=constants -n 4 -j 1 --part=2/2 -o two.part
        checked 0 merge one.part two.part -o merged.h5
        ;;
    processes) checked 0 processes && checked 0 processes bran-soda ;;
    materials) checked 0 materials ;;
    refusals)
        result
        checked 2 run
        checked 2 run --nonsense
        checked 2 nonsense
        checked 4 run missing.conf
        checked 4 show missing.h5
        checked 4 show small-vat.conf
        head -c 20000 small-vat.h5 >cut.h5
        checked 4 show cut.h5
        checked 4 export cut.h5 -o cut
        checked 4 run short-vat.conf -o small-vat.h5
        checked 4 run short-vat.conf -o missing/short.h5
        checked 3 run short-vat.conf --set vat.vessel.fill='900 L' -o full.h5
        checked 3 check "$top"/tests/bad/*.conf
        ;;
    *)
        echo "valgrind: no verb '$verb'" >&2
        exit 2
        ;;
    esac
    echo "$verb: $((runs - before)) runs"
done
echo "$runs runs under memcheck, $failed wrong"
[ "$failed" -eq 0 ]
