"""Runs one shipped scenario twice: it is clean, it completes, every ledger closes, both results hold the same bytes,
and it shows what its opening comment says it teaches (claims.py).

shipped.py SCENARIO, with the program in $VATCAST. Promises of docs/architecture.md; the residual is round-off only.
"""
import os
import subprocess
import sys
import tempfile

from claims import CLAIMS, Result

RESIDUAL_MOST = 1e-9  # relative
LEDGERS = {"indigo", "hexose", "lime", "oxygen", "water", "heat"}


def run(*arguments):
    command = [os.environ["VATCAST"], *arguments]
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    if done.returncode != 0:
        sys.exit(f"vatcast {' '.join(arguments)} ended with {done.returncode}:\n{done.stdout}{done.stderr}")
    return done.stdout


def word(value):
    return value.decode() if isinstance(value, bytes) else str(value)


def read(path, h5py):
    """Every dataset as bytes, every ledger's residual, and the status of the run."""
    datasets, residuals = {}, {}
    with h5py.File(path, "r") as file:
        def visit(name, item):
            if isinstance(item, h5py.Dataset):
                datasets[name] = (str(item.dtype), item.shape, item[()].tobytes())
            elif name.startswith("ledger/"):
                residuals[name.split("/", 1)[1]] = float(item.attrs["residual_relative"])
        file.visititems(visit)
        status = word(file["provenance"].attrs["status"])
    return datasets, residuals, status


def claims_fail(name, path, folder, h5py):
    """The claims of a scenario that its result, beside those it is compared with, does not bear out."""
    if name not in CLAIMS:
        return [f"tests/scenarios/claims.py has no claims for {name}"]
    ask, others = CLAIMS[name]
    results = [Result(path, h5py)]
    for other in others:
        beside = os.path.join(os.path.dirname(sys.argv[1]), other + ".conf")
        run("run", beside, "-o", os.path.join(folder, other + ".h5"))
        results.append(Result(os.path.join(folder, other + ".h5"), h5py))
    asked = ask(*results) if ask else {}
    print(len(asked), "claims asked")
    return [f"not shown: {claim}" for claim, shown in asked.items() if not shown]


def main():
    scenario = sys.argv[1]
    with open(scenario, encoding="utf-8") as file:
        if not file.readline().startswith("# " + os.path.basename(scenario)):
            sys.exit("the scenario does not open with a comment that names it and says what it is for")
    run("check", scenario)
    with tempfile.TemporaryDirectory() as folder:
        paths = [os.path.join(folder, name) for name in ("first.h5", "second.h5")]
        told = [run("run", scenario, "-o", path) for path in paths]
        if not told[0].strip():
            sys.exit("the run told nothing")
        try:
            import h5py
        except ImportError:
            sys.exit(77)
        first, second = (read(path, h5py) for path in paths)
        unshown = claims_fail(os.path.splitext(os.path.basename(scenario))[0], paths[0], folder, h5py)
    datasets, residuals, status = first
    faults = []
    if status != "complete":
        faults.append(f"the run's status is {status}")
    if not LEDGERS <= set(residuals):
        faults.append(f"ledgers missing: {', '.join(sorted(LEDGERS - set(residuals)))}")
    faults += [f"the ledger of {name} does not close: {value:.3g}"
               for name, value in residuals.items() if not abs(value) <= RESIDUAL_MOST]
    faults += [f"{name} differs between two runs" for name in datasets if second[0].get(name) != datasets[name]]
    if set(second[0]) != set(datasets):
        faults.append("two runs hold different datasets")
    faults += unshown
    print("largest residual", max(map(abs, residuals.values()), default=float("nan")))
    sys.exit("\n".join(faults) if faults else 0)


main()
