"""Kills, interrupts and doubles the program at random moments: whatever happens, the name of the result holds the whole
old file or the whole new one, and what is left besides is hidden, recognisable and in nobody's way.

kills.py, with the program in $VATCAST; $VATCAST_KILLS (40) moments, $VATCAST_SEED (chosen by the clock, printed). The same
scenario gives the same bytes, so the new file is known beforehand.
"""
import os
import random
import re
import signal
import subprocess
import sys
import tempfile
import time

PROGRAM = os.environ["VATCAST"]
HERE = os.path.dirname(os.path.abspath(__file__))
SHORT = os.path.join(HERE, "short-vat.conf")
KILLS = int(os.environ.get("VATCAST_KILLS", "40"))
OLD = b"an older result, which is precious"
LEFT = re.compile(r"^\.(result|result\.partial)\.h5\.\d+\.tmp$")
QUICK = ["--set", "record=5 s"]
LONG = ["--set", "lasts=3 years", "--set", "record=10 min"]

faults = []


def fault(words):
    faults.append(words)
    print("WRONG:", words)


def start(result, *more, force=True):
    command = [PROGRAM, "run", "-q", SHORT, "-o", result, *more] + (["--force"] if force else [])
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE)


def bytes_of(path):
    try:
        with open(path, "rb") as file:
            return file.read()
    except FileNotFoundError:
        return None


def look_around(folder, allowed):
    """What lies in the folder besides; names that could be taken for a result are wrong."""
    left = [name for name in os.listdir(folder) if name not in allowed]
    for name in left:
        if not LEFT.match(name):
            fault(f"'{name}' was left behind")
    return left


def kill_often(folder, chance, reference, duration):
    result = os.path.join(folder, "result.h5")
    tally = {"old": 0, "none": 0, "new": 0, "left": 0}
    for i in range(KILLS):
        if os.path.exists(result):
            os.remove(result)
        older = OLD if i % 2 == 0 else None
        if older:
            with open(result, "wb") as file:
                file.write(older)
        process = start(result, *QUICK)
        # Half of the moments over the whole run, half in its later part, where the file is written.
        time.sleep(duration * (chance.uniform(0, 1) if chance.random() < 0.5 else chance.uniform(0.6, 1)))
        process.kill()
        process.communicate()
        found = bytes_of(result)
        if found == reference:
            tally["new"] += 1
        elif found == older:
            tally["old" if older else "none"] += 1
        else:
            fault(f"kill {i}: the result holds {len(found or b'')} bytes that are neither old nor new")
        tally["left"] = len(look_around(folder, {"result.h5"}))
    process = start(result, *QUICK)
    process.communicate()
    if process.returncode != 0 or bytes_of(result) != reference:
        fault("a run after the kills is hindered by what they left")
    print(f"{KILLS} kills: {tally['old']} times the older result is there, {tally['none']} times none was and none is, "
          f"{tally['new']} times the new one is; {tally['left']} temporary files left")


def interrupt_often(folder, chance, duration):
    result = os.path.join(folder, "result.h5")
    partial = os.path.join(folder, "result.partial.h5")
    count = max(4, KILLS // 6)
    tally = {}
    for i in range(count):
        for path in (result, partial):
            if os.path.exists(path):
                os.remove(path)
        with open(result, "wb") as file:
            file.write(OLD)
        number = signal.SIGINT if i % 2 == 0 else signal.SIGTERM
        process = start(result, *LONG)
        time.sleep(duration * chance.uniform(0.3, 3))
        process.send_signal(number)
        _, said = process.communicate()
        tally[process.returncode] = tally.get(process.returncode, 0) + 1
        if process.returncode != 0 and bytes_of(result) != OLD:
            fault(f"interruption {i}: the older result was harmed")
        if process.returncode == 8:
            shown = subprocess.run([PROGRAM, "show", partial], stdout=subprocess.PIPE, stderr=subprocess.PIPE, check=False)
            if b"partial" not in said or b"did not reach its end: interrupted" not in shown.stdout:
                fault(f"interruption {i}: the partial result is not marked so")
        elif process.returncode not in (0, -number):  # before the program listens, a signal ends it at once
            fault(f"interruption {i}: ended with {process.returncode}: {said.decode()}")
        look_around(folder, {"result.h5", "result.partial.h5"})
    if tally.get(8, 0) == 0:
        fault("no run was interrupted in its course")
    for path in (result, partial):
        if os.path.exists(path):
            os.remove(path)
    print(f"{count} interruptions by SIGINT and SIGTERM, by exit status: {tally}")


def run_doubly(folder, reference):
    result = os.path.join(folder, "result.h5")
    for force in (False, True):
        for _ in range(3):
            if os.path.exists(result):
                os.remove(result)
            pair = [start(result, *QUICK, force=force) for _ in range(2)]
            said = [process.communicate()[1] for process in pair]
            ends = sorted(process.returncode for process in pair)
            if bytes_of(result) != reference:
                fault("two runs to one file: the file is neither's")
            if ends != ([0, 0] if force else [0, 4]):
                fault(f"two runs to one file{' with --force' if force else ''}: ended with {ends}: {said}")
            if not force and not any(b"exists already" in words for words in said):
                fault(f"two runs to one file: the loser does not say why: {said}")
            if look_around(folder, {"result.h5"}):
                fault("two runs to one file: something was left behind")
    print("6 pairs of runs to one file")


def main():
    seed = int(os.environ.get("VATCAST_SEED", str(time.time_ns() % 1000000)))
    print("seed", seed)
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        sample = os.path.join(folder, "sample.h5")
        duration = float("inf")
        for _ in range(4):
            begun = time.monotonic()
            process = start(sample, *QUICK)
            said = process.communicate()[1]
            duration = min(duration, time.monotonic() - begun)
        reference = bytes_of(sample)
        if process.returncode != 0 or reference is None:
            sys.exit(f"the short run failed: {said.decode()}")
        places = [os.path.join(folder, name) for name in ("kills", "signals", "pairs")]
        for place in places:
            os.mkdir(place)
        kill_often(places[0], chance, reference, duration)
        interrupt_often(places[1], chance, duration)
        run_doubly(places[2], reference)
    sys.exit(1 if faults else 0)


main()
