"""Result files that earlier programs wrote (tests/data/results) are read by each verb that reads results, and tell what they told;
those of a newer format are refused in words."""
import csv
import glob
import json
import lzma
import os
import shutil
import subprocess
import sys
import tempfile

PROGRAM = os.environ["VATCAST"]
KEPT = os.path.join(os.environ["TESTS_DATA"], "results")

with open(os.path.join(KEPT, "results.json"), encoding="utf-8") as file:
    FACTS = json.load(file)


def told(*arguments, status=0):
    run = subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, check=False)
    assert run.returncode == status, (arguments, run.returncode, run.stdout[-300:], run.stderr)
    assert "nan" not in run.stdout.split(), arguments
    return run.stdout + run.stderr


def table(path):
    with open(path, newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    return [name.split(" (")[0] for name in rows[0]], rows[1:]


def check_run(name, facts):
    path = name + ".h5"
    story = told("show", path)
    assert ("Stopped" in story) == (facts["status"] != "complete"), story
    assert ("vats that this one may be" in story) == (facts["members"] > 0), story
    told("plot", path, "-o", name + ".svg")
    told("report", path, "-o", name + ".html")
    told("export", path, "-o", name)
    names, rows = table(name + "/series.csv")
    assert len(rows) == facts["rows"], name
    for series, value in facts["ends"].items():
        read = float(rows[-1][names.index(series)])
        assert read == value, (name, series, read, value)
    assert len(table(name + "/pieces.csv")[1]) == facts["pieces"], name
    assert os.path.exists(name + "/members.csv") == (facts["members"] > 0), name
    if facts["members"] > 0:
        assert len(table(name + "/members.csv")[1]) == facts["members"], name


def check_sweep(name, facts):
    path = name + ".h5"
    story = told("show", path)
    assert f"{facts['members']} runs" in story and f"{facts['owf_half']:.2f}" in story, story
    for verb, output in (("plot", "no.svg"), ("report", "no.html"), ("export", "no")):
        assert "'vatcast show' tells what they came to" in told(verb, path, "-o", output, status=4)


def check_together():
    """Side by side on one page, old and new."""
    runs = [name + ".h5" for name, facts in FACTS.items() if facts.get("status") and name != "workshop"]
    told("report", *runs, "-o", "together.html")
    assert "a page to itself" in told("report", "workshop.h5", "run.h5", "-o", "no.html", status=2)


def check_newer():
    try:
        import h5py
    except ImportError:
        print("without h5py: files of a newer format not tried")
        return
    for name in ("run", "sweep"):
        shutil.copy(name + ".h5", "newer.h5")
        with h5py.File("newer.h5", "r+") as file:
            file.attrs.modify("format_version", 2)
        for verb, options in (("show", []), ("export", ["-o", "no"]), ("plot", ["-o", "no.svg"]), ("report", ["-o", "no.html"])):
            words = told(verb, "newer.h5", *options, status=4)
            expected = "format version 2, made by a newer program" if name == "run" or verb == "show" else "many runs of a sweep"
            assert expected in words, words


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    packed = sorted(glob.glob(os.path.join(KEPT, "*.h5.xz")))
    assert sorted(os.path.basename(path)[:-len(".h5.xz")] for path in packed) == sorted(FACTS)
    for path in packed:
        name = os.path.basename(path)[:-len(".h5.xz")]
        with lzma.open(path) as file, open(name + ".h5", "wb") as out:
            out.write(file.read())
        (check_sweep if FACTS[name]["format"] == "vatcast-sweep" else check_run)(name, FACTS[name])
        print(f"{name}: read")
    check_together()
    check_newer()
    os.chdir("/")
sys.exit(0)
