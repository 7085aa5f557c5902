"""The script that plays lessons in vats with other constants: each vat has constants of its own, within their ranges, and the row of a lesson
counts what the debriefs of its vats say. Skipped without h5py.
"""
import importlib.util
import os
import re
import subprocess
import sys
import tempfile

TOOL = os.path.join(os.environ["TESTS_DIR"], "..", "tools", "lesson_draws.py")
LESSON = "lime-short"
DRAWS = 3


def check(holds, words):
    if not holds:
        sys.exit(words)


def main():
    try:
        import h5py  # noqa: F401
    except ImportError:
        print("skipped: no h5py")
        sys.exit(77)
    specification = importlib.util.spec_from_file_location("lesson_draws", TOOL)
    tool = importlib.util.module_from_spec(specification)
    specification.loader.exec_module(tool)
    program = os.environ["VATCAST"]
    lesson = os.path.join(os.environ["SCENARIOS_DIR"], "lessons", LESSON + ".conf")
    with tempfile.TemporaryDirectory() as folder:
        groups = tool.drawn_constants(program, lesson, DRAWS, folder)
    drawn = [dict(re.findall(r'^  (\w+) = "?([^ ";]+)', group, re.M)) for group in groups]
    check(len(drawn) == DRAWS and len(drawn[0]) > 50, f"{len(drawn)} vats, of {len(drawn[0])} constants")
    check("usable_leuco" not in drawn[0], "what is called ready is drawn as well")
    alike = [name for name in drawn[0] if len({vat[name] for vat in drawn}) == 1]
    check(len(alike) < len(drawn[0]) / 5, f"in all vats are the same {alike}")

    ends = tool.play(program, LESSON, DRAWS, 1)
    check(all(ends["bad"]), f"the usual mistake is none in one of {ends['bad']}")
    told = subprocess.run([sys.executable, "-B", TOOL, "--draws", str(DRAWS), "--jobs", "1", "--vatcast", program, LESSON], check=True,
                          stdout=subprocess.PIPE, text=True).stdout.splitlines()
    met = sum(not goals for goals in ends["good"])
    check(len(told) == 2 and told[0].startswith(f"| `{LESSON}` | {met} of {DRAWS} | "), f"told is {told}")
    check(told[0].endswith(f" | {DRAWS} of {DRAWS} |") and told[1] == f"| all | {met} of {DRAWS} | | {DRAWS} of {DRAWS} |", f"told is {told}")
    wrong = subprocess.run([sys.executable, "-B", TOOL, "--vatcast", program, "no-such-lesson"], stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    check(wrong.returncode != 0, "a lesson that is none is played")


main()
