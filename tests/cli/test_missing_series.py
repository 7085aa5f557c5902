"""A result without series that the story rests on, as another program may leave one: show says which, and never "nan"."""
import os
import shutil
import subprocess
import sys
import tempfile

try:
    import h5py
except ImportError:
    print("skipped: no h5py")
    sys.exit(77)

PROGRAM = os.environ["VATCAST"]
HERE = os.path.dirname(os.path.abspath(__file__))
SERIES = ["temperature", "ph", "volume", "state", "look", "cloth_dips"]


def told(*arguments, status=0):
    run = subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, check=False)
    assert run.returncode == status, (arguments, run.returncode, run.stderr)
    return run.stdout + run.stderr


def without(names):
    shutil.copy("sound.h5", "lacking.h5")
    with h5py.File("lacking.h5", "r+") as file:
        for name in names:
            del file[name]


with tempfile.TemporaryDirectory() as folder:
    scenario = os.path.join(HERE, "small-vat.conf")
    os.chdir(folder)
    told("run", "-q", scenario, "--set", "rtol=1e-4", "-o", "sound.h5")
    assert "Missing" not in told("show", "sound.h5")
    for names in [[name] for name in SERIES] + [SERIES]:
        without(names)
        story = told("show", "lacking.h5")
        assert "Missing  " + ", ".join(names) + ": the file has no such" in story, story
        assert "nan" not in story, story
        told("report", "lacking.h5", "-o", "page.html", "--force")
        told("export", "lacking.h5", "-o", "tables", "--force")
    without(["ph"])
    assert "'ph' is no series of this result" in told("plot", "lacking.h5", "--series=ph", "-o", "x.svg", status=2)
    without(["time"])
    assert "does not begin with 'time'" in told("show", "lacking.h5", status=4)
    os.chdir("/")
