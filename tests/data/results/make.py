"""Makes the result files of this folder anew, with the program in $VATCAST: make.py [NAME...]. They are there to be read by every
later program (tests/cli/test_kept_results.py), so do this only for kinds of files that are new, or for a new version of the format,
whose files get a name that tells the version. Packed with xz; results.json tells what must be read out of them, as h5py reads it.

first.h5 is by the first program that wrote files of format version 1 (commit 7647c8d, `run bucket.conf` under another title): it
has no colours of the liquor, no smell, no targets of pieces, no members. It cannot be made with a later one.
"""
import json
import lzma
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time

import h5py

PROGRAM = os.environ["VATCAST"]
HERE = os.path.dirname(os.path.abspath(__file__))
BUCKET = "bucket.conf"
TOP = os.path.join(HERE, "..", "..", "..")


def run(*arguments, status=0):
    ended = subprocess.run([PROGRAM, *arguments, "--force", "-q"], stdout=subprocess.DEVNULL, check=False).returncode
    assert ended == status, (arguments, ended)


def interrupt(name):
    """A run of many members, stopped when some are done."""
    process = subprocess.Popen([PROGRAM, "run", BUCKET, "--members", "500", "-j1", "--force", "-q", "-o", "stopped.h5"],
                               stderr=subprocess.DEVNULL)
    time.sleep(0.4)  # some dozen members
    process.send_signal(signal.SIGINT)
    assert process.wait() == 8
    os.rename("stopped.partial.h5", name)


def freeze(name):
    run("run", BUCKET, "--set", "vat.place.night=-25 degC", "--set", "vat.place.day=-15 degC", "-o", "cold.h5", status=5)
    os.rename("cold.partial.h5", name)


MAKERS = {
    "run": lambda name: run("run", BUCKET, "-o", name),
    "fermented": lambda name: run("run", "bran-seeded.conf", "--set", "record=1 day", "-o", name),
    "members": lambda name: run("run", BUCKET, "--members", "8", "-o", name),
    "interrupted": interrupt,
    "failed": freeze,
    "sweep": lambda name: run("sweep", BUCKET, "--over", "leuco_pk2", "--over", "vat.water.temperature=40..60 degC", "--runs", "6",
                              "--set", "record=8 h", "-o", name),
    "workshop": lambda name: run("workshop", "workshop-class.conf", "--set", "record=1 day", "--set",
                                 "workshop.replications=2", "-o", name),
}


def facts(path):
    """What a reader must find: the format, how it ended, and of the first and last row some series."""
    with h5py.File(path) as file:
        told = {"format": file.attrs["format_name"], "version": int(file.attrs["format_version"])}
        if told["format"] == "vatcast-sweep":
            return told | {"members": int(file["member"].shape[0]), "owf_half": float(file["percentiles/owf_mean"][2])}
        return told | {
            "status": file["provenance"].attrs["status"],
            "rows": int(file["time"].shape[0]),
            "ends": {name: float(file[name][-1]) for name in ("time", "temperature", "ph", "leuco", "hexose", "volume")},
            "pieces": int(file["pieces/kind"].shape[0]),
            "members": int(file["members/member"].shape[0]) if "members" in file else 0,
        }


def main():
    with open(os.path.join(HERE, "results.json"), encoding="utf-8") as file:
        known = json.load(file)
    with tempfile.TemporaryDirectory() as folder:
        # A result keeps the paths of its scenario and models: here names alone.
        shutil.copytree(os.path.join(TOP, "scenarios"), folder, dirs_exist_ok=True)
        shutil.copytree(os.path.join(TOP, "models"), os.path.join(folder, "models"))
        os.environ["VATCAST_MODELS"] = "models"
        shutil.copy(os.path.join(HERE, BUCKET), folder)
        os.chdir(folder)
        for name in sys.argv[1:] or MAKERS:
            path = name + ".h5"
            if name in MAKERS:
                MAKERS[name](path)
            else:  # one that no maker makes: given in the folder
                with lzma.open(os.path.join(HERE, path + ".xz")) as packed, open(path, "wb") as file:
                    file.write(packed.read())
            known[name] = facts(path)
            with open(path, "rb") as file, lzma.open(os.path.join(HERE, path + ".xz"), "wb", preset=9 | lzma.PRESET_EXTREME) as packed:
                packed.write(file.read())
        os.chdir("/")
    with open(os.path.join(HERE, "results.json"), "w", encoding="utf-8") as file:
        json.dump(known, file, indent=1, sort_keys=True)
        file.write("\n")


main()
