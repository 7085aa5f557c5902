"""How sure the lessons are: plays the good course and the usual mistake of each lesson (the scripts in tests/lessons) in other vats.

    python3 tools/lesson_draws.py [--draws N] [--vatcast PROGRAM] [LESSON...]

The constants of the other vats are drawn by `vatcast run --members N` of the lesson (docs/sweep.md tells how, the scenario's seed
which), and put into a copy of the lesson. Nothing else is drawn. Printed for each lesson are in how many vats the good course met all
goals, which goals it missed how often, and in how many the mistake missed one. Wants h5py.
"""
import argparse
import collections
import concurrent.futures
import os
import re
import subprocess
import sys
import tempfile

import h5py

TOP = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")
LESSONS = os.path.join(TOP, "scenarios", "lessons")
SCRIPTS = os.path.join(TOP, "tests", "lessons")


def run(*command, said=None, allowed=(0,)):
    done = subprocess.run(command, input=said, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    if done.returncode not in allowed:
        sys.exit(f"{' '.join(command)} ended with {done.returncode}:\n{done.stdout}{done.stderr}")
    return done.stdout


def drawn_constants(program, lesson, draws, folder):
    """The constants of each vat drawn, as the group `constants` of a scenario."""
    result = os.path.join(folder, "members.h5")
    run(program, "run", lesson, "--members", str(draws), "-o", result, "--force", "-q")
    groups = [""] * draws
    with h5py.File(result) as file:
        for name, column in file["members"].items():
            constant = re.fullmatch(r"(\w+), as drawn", column.attrs.get("long_name", ""))  # others have blanks: "warmth of the air"
            if not name.startswith("drawn_") or not constant:
                continue
            unit = column.attrs["units"]
            for i in range(draws):
                value = f"{column[i]:.17g}" if unit == "1" else f'"{column[i]:.17g} {unit}"'
                groups[i] += f"  {constant.group(1)} = {value};\n"
    return [f"constants = {{\n{group}}};\n" for group in groups]


def missed(program, path, script):
    """The goals that a script misses in the lesson of a file. A sentence that cannot be done in that vat is left out."""
    debrief = run(program, "lesson", path, said=script, allowed=(0, 3)).partition("\nDebrief")[2]
    if not re.search(r"^\d+ of the \d+ goals met", debrief, re.M):
        sys.exit(f"{path} has no debrief")
    return [int(number) for number in re.findall(r"^MISSED +(\d+)\. ", debrief, re.M)]


def play(program, name, draws, workers):
    """For each end, the goals missed in each vat."""
    lesson = os.path.join(LESSONS, name + ".conf")
    with open(lesson, encoding="utf-8") as file:
        text = file.read()
    scripts = {}
    for end in ("good", "bad"):
        with open(os.path.join(SCRIPTS, f"{name}.{end}.txt"), encoding="utf-8") as file:
            scripts[end] = file.read()
    with tempfile.TemporaryDirectory() as folder, concurrent.futures.ThreadPoolExecutor(workers) as pool:
        paths = []
        for number, constants in enumerate(drawn_constants(program, lesson, draws, folder)):
            paths.append(os.path.join(folder, f"vat-{number + 1}.conf"))
            with open(paths[-1], "w", encoding="utf-8") as file:
                file.write(constants + text)
        return {end: list(pool.map(lambda path, script=script: missed(program, path, script), paths)) for end, script in scripts.items()}


def main():
    names = sorted(file[:-5] for file in os.listdir(LESSONS) if file.endswith(".conf"))
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("--draws", type=int, default=40, help="vats for each lesson (40)")
    parser.add_argument("--vatcast", default=os.path.join(TOP, "build", "release", "vatcast"), help="the program")
    parser.add_argument("--jobs", type=int, default=os.cpu_count(), help="lessons played at once")
    parser.add_argument("lessons", nargs="*", default=names, help="names of lessons (all)")
    asked = parser.parse_args()
    total = collections.Counter()
    for name in asked.lessons:
        ends = play(os.path.abspath(asked.vatcast), name, asked.draws, asked.jobs)
        met = sum(not goals for goals in ends["good"])
        fooled = sum(bool(goals) for goals in ends["bad"])
        goals = collections.Counter(goal for missed_goals in ends["good"] for goal in missed_goals)
        total.update(vats=asked.draws, met=met, fooled=fooled)
        words = ", ".join(f"goal {goal}: {count}" for goal, count in sorted(goals.items()))
        print(f"| `{name}` | {met} of {asked.draws} | {words or 'none'} | {fooled} of {asked.draws} |", flush=True)
    print(f"| all | {total['met']} of {total['vats']} | | {total['fooled']} of {total['vats']} |")


if __name__ == "__main__":
    main()
