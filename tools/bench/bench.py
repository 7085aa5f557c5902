"""The benchmarks: what a run costs, beside what the usual stiff solvers would cost at the same error.

See docs/performance.md."""
import argparse
import json
import os
import pathlib
import platform
import sys

import accuracy
import cores
import growth
import precision
import trees

PARTS = ("precision", "accuracy", "growth", "cores")


def machine():
    model = "unknown processor"
    try:
        with open("/proc/cpuinfo") as file:
            model = next((line.split(":")[1].strip() for line in file if line.startswith("model name")), model)
    except OSError:
        pass
    return "%s, %d cores, %s" % (model, len(os.sched_getaffinity(0)), platform.system())


def arguments():
    parser = argparse.ArgumentParser(prog="tools/bench.sh", description=__doc__)
    parser.add_argument("--only", metavar="PART", action="append", choices=PARTS, help="one of: " + ", ".join(PARTS))
    parser.add_argument("--quick", action="store_true", help="fewer repetitions and no SciPy: a first look")
    parser.add_argument("--rounds", type=int, help="repetitions of everything, in turn (5)")
    parser.add_argument("--runs", type=int, help="runs in the part `cores` (200)")
    parser.add_argument("--frozen", metavar="COMMIT", default=trees.FROZEN,
                        help="whose rates the outside solvers integrate (%s)" % trees.FROZEN)
    parser.add_argument("--build", metavar="FOLDER", type=pathlib.Path, default=trees.TOP / "build/bench",
                        help="where to build and work (build/bench)")
    parser.add_argument("--json", metavar="FILE", help="also write every figure there")
    given = parser.parse_args()
    given.rounds = given.rounds or (2 if given.quick else 5)
    given.runs = given.runs or (20 if given.quick else 200)
    given.only = given.only or list(PARTS)
    return given


def main():
    given = arguments()
    sys.stdout.reconfigure(line_buffering=True)
    folder = given.build.resolve()
    work = folder / "work"
    work.mkdir(parents=True, exist_ok=True)
    figures = {"machine": machine(), "rounds": given.rounds}
    print(figures["machine"])
    print("Times are processor time of one run, the least of what %d rounds in turn gave." % given.rounds)
    busy = os.getloadavg()[0]
    if busy > 0.3:
        print("The machine has other work (load %.1f): times are longer than they would be, and those of `cores` "
              "worthless." % busy)
    now = trees.present(folder)
    compared = [now]
    if "precision" in given.only:
        frozen = trees.frozen(folder, given.frozen)
        if frozen is None:
            print("The history down to %s is not here (a shallow clone?): the outside solvers integrate the rates of "
                  "the present tree, and ratios are smaller than against the frozen ones." % given.frozen)
        elif trees.unchanged(given.frozen):
            print("The present sources and models are those of %s." % given.frozen)
            compared = [frozen]
        else:
            compared = [frozen, now]
        if not compared[0].has("cvode"):
            print("SUNDIALS is not here: no comparison with CVODE.")
        figures["precision"] = precision.run(compared, work, given.rounds, not given.quick)
    if "accuracy" in given.only:
        figures["accuracy"] = accuracy.run(now, work)
    if "growth" in given.only:
        figures["growth"] = growth.run(now, work, given.rounds)
    if "cores" in given.only:
        figures["cores"] = cores.run(now, work, min(3, given.rounds), given.runs)
    if given.json:
        pathlib.Path(given.json).write_text(json.dumps(figures, indent=1) + "\n")


main()
