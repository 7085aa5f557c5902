"""Every output of the program while calls of the system fail: run, plot, report, export, compare, workshop, sweep, merge.

outputs.py PROGRAM, which is the program with faulty_program.c linked in. Of each sort of call (open, write, pwrite, fsync, close, link,
rename, unlink, ftruncate) the n-th fails with ENOSPC, EIO or EINTR, or the program is killed there: the first and the last n of each sort,
and of the five mishaps one after another, for the outputs that take little; with FAULTS_ALL=1 every n with each mishap, over older outputs
and where there are none, for all. Promised: success with the whole output, or exit status 4 and a
sentence; under the final names the whole old files, the whole new ones, or nothing where there was nothing; nothing else but hidden
temporary files after a kill, and what a sweep goes on from; and the same command works afterwards.
"""
import errno
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor

PROGRAM = os.path.abspath(sys.argv[1])
SHORT = os.path.join(os.environ["TESTS_DIR"], "faults", "short-vat.conf")
SCENARIOS = os.environ["SCENARIOS_DIR"]
CALLS = ["open", "write", "fsync", "close", "link", "rename", "unlink", "pwrite", "ftruncate"]
FAIL, KILL_BEFORE, KILL_AFTER = "error", "kill_before", "kill_after"
KINDS = [(FAIL, errno.ENOSPC), (FAIL, errno.EIO), (FAIL, errno.EINTR), (KILL_BEFORE, 0), (KILL_AFTER, 0)]
ALL = bool(os.environ.get("FAULTS_ALL"))
MOST = 10**9 if ALL else 2
OLD = b"an older output, which is precious"
HIDDEN = re.compile(r"^\.(.+)\.\d+\.tmp$")
SWEEP = ["sweep", "-q", SHORT, "--over=leuco_pk2", "--runs=2", "--threads=1"]

# What is run with "out/..." as its output; IN are files made beforehand.
OUTPUTS = {
    "run": ["run", "-q", SHORT, "-o", "out/run.h5"],
    "plot": ["plot", "-q", "IN/run.h5", "-o", "out/plot.svg"],
    "report": ["report", "-q", "IN/run.h5", "-o", "out/report.html"],
    "export": ["export", "-q", "IN/run.h5", "-o", "out"],
    "compare": ["compare", "-q", SHORT, os.path.join("IN", "other.conf"), "-o", "out/"],
    "workshop": ["workshop", "-q", os.path.join(SCENARIOS, "workshop-class.conf"), "--no-table", "--replications=1", "-o", "out/day.h5"],
    "sweep": SWEEP + ["-o", "out/sweep.h5"],
    "part": SWEEP + ["--part=1/2", "-o", "out/one.part"],
    "merge": ["merge", "-q", "IN/one.part", "IN/two.part", "-o", "out/merged.h5"],
}

LONG = ("workshop",)
wrong = []


def run(command, folder, fault=None, count=None):
    environment = {name: value for name, value in os.environ.items() if not name.startswith("VATCAST_FAULT")}
    if fault:
        environment["VATCAST_FAULT"] = " ".join(map(str, fault))
    if count:
        environment["VATCAST_FAULT_COUNT"] = count
    done = subprocess.run([PROGRAM, *command], cwd=folder, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, check=False)
    return done.returncode, done.stderr.decode(errors="replace")


def files(folder):
    found = {}
    for name in os.listdir(folder):
        with open(os.path.join(folder, name), "rb") as file:
            found[name] = file.read()
    return found


class Output:
    """One kind of output: its command, what it makes when nothing fails."""

    def __init__(self, name, command, place, made):
        self.name, self.command, self.place, self.made = name, command, place, made
        status, said, self.sound = self.fresh(None, False)
        again = self.fresh(None, True)
        if status != 0 or again[0] != 0 or not self.sound or again[2] != self.sound:
            sys.exit(f"{name}: fails, or differs, with nothing wrong: {status} {said} {again[:2]}")

    def fresh(self, fault, older, count=None):
        """Runs in a folder of its own; status, words, and what is in the folder afterwards. Then once more with nothing wrong."""
        folder = tempfile.mkdtemp(dir=self.place)
        os.mkdir(os.path.join(folder, "out"))
        os.symlink(self.made, os.path.join(folder, "IN"))
        for name in self.sound if older else ():
            with open(os.path.join(folder, "out", name), "wb") as file:
                file.write(OLD)
        command = self.command + (["--force"] if older else [])
        status, said = run(command, folder, fault, count)
        found = files(os.path.join(folder, "out"))
        if fault and fault[3] > 0:
            status_then, said_then = run(self.command + ["--force"], folder)
            after = {name: text for name, text in files(os.path.join(folder, "out")).items() if not HIDDEN.match(name)}
            if status_then != 0 or after != self.sound:
                self.complain(fault, f"does not work afterwards: {status_then} {said_then} {sorted(after)}")
        shutil.rmtree(folder)
        return status, said, found

    def complain(self, fault, words):
        how = errno.errorcode.get(fault[2], "killed before" if fault[1] == KILL_BEFORE else "killed after")
        wrong.append(words)
        print(f"WRONG: {self.name}, {fault[0]} {fault[3]} {how}: {words}", flush=True)

    def calls(self, call, older):
        count = os.path.join(self.place, f"count-{self.name}-{call}-{older:d}")
        self.fresh((call, FAIL, 0, 0), older, count)
        with open(count, encoding="ascii") as file:
            return int(file.read())

    def try_fault(self, fault, older):
        status, said, found = self.fresh(fault, older)
        killed = fault[1] != FAIL
        if status == 0:
            if any(found.get(name) != text for name, text in self.sound.items()):
                self.complain(fault, "success, and the output is not whole")
        elif killed:
            if status != -signal.SIGKILL and status not in (4, 6):  # the child that tries out a result was killed
                self.complain(fault, f"killed, and ended with {status}: {said}")
        elif status != 4 or not said.startswith("vatcast: ") or "Sanitizer" in said:
            self.complain(fault, f"ended with {status}: {said}")
        for name, text in found.items():
            hidden = HIDDEN.match(name)
            if name in self.sound:
                if text != self.sound[name] and not (older and text == OLD):
                    self.complain(fault, f"'{name}' is neither old nor new: {len(text)} bytes")
            elif hidden and (killed or fault[0] == "unlink"):
                pass
            elif not (self.name in ("sweep", "part") and name.endswith(".partial")):
                self.complain(fault, f"'{name}' is left behind")
        if older and any(name not in found for name in self.sound):
            self.complain(fault, "the older output is gone")


def spread(count):
    """Up to MOST of 1 to count, the first and the last among them."""
    if count <= MOST:
        return range(1, count + 1)
    return sorted({1 + round(i * (count - 1) / (MOST - 1)) for i in range(MOST)})


def main():
    with tempfile.TemporaryDirectory() as place, ThreadPoolExecutor(os.cpu_count()) as pool:
        made = os.path.join(place, "made")
        os.mkdir(made)
        shutil.copy(SHORT, os.path.join(made, "other.conf"))
        for command in (["run", "-q", SHORT, "-o", "run.h5"], SWEEP + ["--part=1/2", "-o", "one.part"],
                        SWEEP + ["--part=2/2", "-o", "two.part"]):
            status, said = run(command, made)
            if status != 0:
                sys.exit(f"{command} failed: {said}")
        total = there = turn = 0
        calls_of = dict.fromkeys(CALLS, 0)
        for name, command in OUTPUTS.items():
            if name in LONG and not ALL:
                continue
            output = Output(name, command, place, made)
            points = []
            calls_in_all = 0
            for call in CALLS:
                for older in (False, True):
                    calls = output.calls(call, older)
                    calls_in_all += calls
                    calls_of[call] += calls
                    for n in spread(calls):
                        turn += 1
                        if not ALL and turn % 2 == older:
                            continue
                        kinds = KINDS if ALL else [KINDS[turn // 2 % len(KINDS)]]
                        points += [((call, kind, error, n), older) for kind, error in kinds]
            if calls_in_all == 0 or not points:
                wrong.append(f"{name}: nothing to fail: {calls_in_all} calls, {len(points)} faults")
                print(f"WRONG: {wrong[-1]}", flush=True)
            list(pool.map(lambda point, output=output: output.try_fault(*point), points))
            there += calls_in_all * len(KINDS)
            total += len(points)
            print(f"{name}: {calls_in_all} calls, {len(points)} faults injected", flush=True)
        for call in [call for call, calls in calls_of.items() if calls == 0]:
            wrong.append(f"{call} is called by no output")
            print(f"WRONG: {wrong[-1]}", flush=True)
        print(f"{total} faults injected of {there} that there are, {len(wrong)} taken badly")
    sys.exit(1 if wrong else 0)


main()
