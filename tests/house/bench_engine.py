"""The integrators of tools/bench fit the program: the vat gives the same series with each of them as with its own.

bench_engine.py ENGINE BUILD-FOLDER SCENARIO...: builds bench_own and bench_ENGINE there, runs both at a tight tolerance
and compares. So a change of src/sim/ode.h shows at once if the benchmarks no longer measure what they say. Ends with 77
without NumPy.
"""
import json
import os
import pathlib
import subprocess
import sys
import tempfile

TOP = pathlib.Path(__file__).resolve().parents[2]
sys.path.insert(0, str(TOP / "tools/bench"))
try:
    import runs
except ImportError as missing:
    print("skipped:", missing)
    sys.exit(77)

RTOL = "1e-9"
AGREE = 2e-5        # of the largest value of each series; the multistep methods err in oxygen, held to its size in full water, some 1e-6
CLOSED = 1e-4       # of a ledger whose extents are integrated beside the state, not summed from it


def compare(engine, build, scenario):
    """What is wrong, in words."""
    with tempfile.TemporaryDirectory() as folder:
        told, series = {}, {}
        for name in ("own", engine):
            series[name] = os.path.join(folder, name)
            done = subprocess.run([os.path.join(build, "bench_" + name), scenario, os.environ["VATCAST_MODELS"], "1",
                                   series[name], RTOL], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
                                  check=False)
            if done.returncode != 0:
                sys.exit(done.stderr)
            told[name] = json.loads(done.stdout)
        worst, where, _ = runs.errors(series[engine], series["own"])
    print("%s: largest difference %.1e in %s; %d steps, own engine %d; ledger closed to %.0e"
          % (os.path.basename(scenario), worst, where, told[engine]["steps"], told["own"]["steps"],
             told[engine]["residual"]))
    faults = []
    if worst > AGREE:
        faults.append("%s differs by %.1e" % (where, worst))
    if worst == 0.0 or told[engine]["steps"] == told["own"]["steps"]:
        faults.append("the two are the same: the program's own integrator was linked twice")
    if told[engine]["events"] != told["own"]["events"] or told[engine]["legs"] != told["own"]["legs"]:
        faults.append("not the same events and legs")
    if engine == "cvode" and told[engine]["residual"] > CLOSED:
        faults.append("a ledger does not close: %.1e" % told[engine]["residual"])
    return ["%s: %s" % (os.path.basename(scenario), fault) for fault in faults]


def main():
    engine, build = sys.argv[1:3]
    top = next(folder for folder in pathlib.Path(build).parents if (folder / "CMakeCache.txt").exists())
    made = subprocess.run(["cmake", "--build", str(top), "--target", "bench_own", "bench_" + engine],
                          stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False)
    if made.returncode != 0:
        sys.exit(made.stdout)
    faults = [fault for scenario in sys.argv[3:] for fault in compare(engine, build, scenario)]
    sys.exit("\n".join(faults) if faults else 0)


main()
