"""Plays every lesson of scenarios/lessons to good and bad ends, by the sentences of tests/lessons, piped in.

A good end meets all goals; a bad end misses those that its script names, and no others. Nothing of the hidden numbers is
told before the debrief, whose lines fit 80 columns. The scenario saved at the end gives the same bytes as the session.
What docs/lessons.md shows of a lesson is what the program says.
"""
import os
import re
import subprocess
import sys
import tempfile

LESSONS = os.path.join(os.environ["SCENARIOS_DIR"], "lessons")
SCRIPTS = os.path.join(os.environ["TESTS_DIR"], "lessons")
COLUMNS = 80
HIDDEN = re.compile(r"leuco|hexose|mmol|MISSED")


def vatcast(*arguments, said=None):
    done = subprocess.run([os.environ["VATCAST"], *arguments], input=said, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    if done.returncode != 0:
        sys.exit(f"vatcast {' '.join(arguments)} ended with {done.returncode}:\n{done.stdout}{done.stderr}")
    return done.stdout


def expected(script):
    """The goals that the first line of a script says it misses."""
    first = script.split("\n", 1)[0]
    found = re.match(r"# (?:meets all|misses ((?:\d+ ?)+):)", first)
    if not found:
        sys.exit(f"the script begins with '{first}'")
    return {int(number) for number in (found.group(1) or "").split()}


def goals(debrief):
    """Which goals are met and which are missed, by the debrief."""
    met = {int(number) for number in re.findall(r"^met +(\d+)\. ", debrief, re.M)}
    missed = {int(number) for number in re.findall(r"^MISSED +(\d+)\. ", debrief, re.M)}
    return met, missed


def same_bytes(folder):
    vatcast("run", "said.conf", "-o", "again.h5", "-q")
    with open(os.path.join(folder, "said.h5"), "rb") as one, open(os.path.join(folder, "again.h5"), "rb") as other:
        return one.read() == other.read()


def play(file_name):
    """What is wrong with a lesson played by a script, as a list of sentences."""
    name, end, _ = file_name.split(".")
    with open(os.path.join(SCRIPTS, file_name), encoding="utf-8") as file:
        script = file.read()
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        said = script.replace("\ndone\n", "\nsave said.conf\nsave said.h5\ndone\n")
        told, _, debrief = vatcast("lesson", name, said=said).partition("\nDebrief")
        same = same_bytes(folder)
        os.chdir("/")
    faults = [] if end.startswith("good") == (not expected(script)) else ["a good end misses nothing, a bad one something"]
    faults += [] if same else ["the saved scenario gives other bytes than the session"]
    met, missed = goals(debrief)
    if missed != expected(script) or not met | missed:
        faults.append(f"met {sorted(met)}, missed {sorted(missed)}, expected to miss {sorted(expected(script))}\n{debrief}")
    if f"{len(met)} of the {len(met | missed)} goals met" not in debrief:
        faults.append("the count of goals does not stand at the end")
    if "not understood" in told:
        faults.append(f"a sentence was not understood:\n{told}")
    if HIDDEN.search(told.split("\nTime", 1)[1]):
        faults.append(f"hidden numbers are told before the debrief:\n{told}")
    faults += [f"wider than {COLUMNS} columns: {line}" for line in (told + debrief).split("\n") if len(line) > COLUMNS]
    return faults


def page_faults(names):
    """Lines of the lesson on the page that the program does not say, and lessons that the page does not tell of."""
    with open(os.path.join(os.environ["SCENARIOS_DIR"], "..", "docs", "lessons.md"), encoding="utf-8") as file:
        page = file.read()
    shown = page.split("## One lesson")[1].split("## The twelve")[0]
    lines = [line[4:] for line in shown.split("\n") if line.startswith("    ") and not re.match(r" +(vatcast|\.\.\.|day \d+ [\d:]+>)", line)]
    said = vatcast("lesson", "lime-short", said="look\nread strip\nadd 60 g fructose\nstir\nwait 4 h\nlook\ndone\n").split("\n")
    faults = [f"lessons.md shows a line that is not said: {line}" for line in lines if line not in said]
    return faults + [f"lessons.md does not tell of {name}" for name in names if f"| `{name}` |" not in page]


def main():
    names = sorted(file[:-5] for file in os.listdir(LESSONS) if file.endswith(".conf"))
    failed = 0
    scripts = sorted(os.listdir(SCRIPTS))
    for script in scripts:
        for fault in play(script):
            print(f"{script}: {fault}")
            failed += 1
    for name in names:
        for end in ("good", "bad"):
            if f"{name}.{end}.txt" not in scripts:
                print(f"{name} has no script for a {end} end")
                failed += 1
    for fault in page_faults(names):
        print(fault)
        failed += 1
    listed = vatcast("lesson", "--names")
    for name in names:
        if not re.search(rf"^ *\d+  {name} +[A-Z]", listed, re.M):
            print(f"{name} is not listed")
            failed += 1
    print(f"{len(names)} lessons, {len(scripts)} scripts, {failed} faults")
    sys.exit(1 if failed or len(names) < 10 else 0)


main()
