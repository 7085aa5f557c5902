"""How long vatcast rehearse takes to answer, in sessions of many weeks; processor time, so that a busy machine does not count.

answers.py PROGRAM: for each shipped scenario that a session can be long in, half a year of a dyer's weeks is said, then each
sentence below, five times over. Prints the largest and the median of each over the scenarios, in milliseconds.
"""
import os
import statistics
import subprocess
import sys
import tempfile
import time

TOP = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
SCENARIOS = ["fresh-vat", "valley-sashes", "studio-bucket", "barrel-of-towels", "bran-half-year", "feeding-weekly"]
WEEK = ["add 2 g fructose", "stir 2 min", "add 2 g slaked lime", "wait 1 day", "read strip", "test strip", "wait 2 days", "look", "wait 4 days"]
WEEKS = 22
ASKED = ["wait 2 weeks", "back 1", "stir 2 min", "add 2 g slaked lime", "wait 1 h", "look", "test strip", "warm to 30 C", "back 4",
         "what if add 20 g slaked lime then wait 2 weeks", "why since yesterday", "why since day 20", "reveal", "back to day 120 12:00",
         "wait 2 weeks"]
TIMES = 5


def spent(process):
    """Nanoseconds of processor time so far."""
    with open(f"/proc/{process.pid}/schedstat", encoding="ascii") as file:
        return int(file.read().split()[0])


class Session:
    def __init__(self, program, scenario):
        environment = dict(os.environ, VATCAST_MODELS=os.path.join(TOP, "models"))
        self.process = subprocess.Popen([program, "rehearse", os.path.join(TOP, "scenarios", scenario + ".conf")],
                                        stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=environment)

    def say(self, sentence):
        before = spent(self.process)
        self.process.stdin.write(f"{sentence}\nhelp quit\n".encode())
        self.process.stdin.flush()
        lines = []
        while not lines or not lines[-1].startswith(b"quit: "):
            lines.append(self.process.stdout.readline())
            if not lines[-1]:
                raise SystemExit(f"answers: the session ended at '{sentence}'")
        lines.append(self.process.stdout.readline())  # "Also: ..."
        time.sleep(0.001)  # what it did last is counted when it waits
        return 1e-6 * (spent(self.process) - before), b"".join(lines).decode()

    def end(self):
        self.process.stdin.close()
        self.process.wait()


def main():
    program = os.path.abspath(sys.argv[1]) if len(sys.argv) > 1 else sys.exit("answers.py PROGRAM")
    figures = {}
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        for scenario in SCENARIOS:
            session = Session(program, scenario)
            for _ in range(WEEKS):
                for sentence in WEEK:
                    session.say(sentence)
            for _ in range(TIMES):
                for number, sentence in enumerate(ASKED):
                    figures.setdefault((number, sentence), []).append((session.say(sentence)[0], scenario))
            session.end()
    print(f"after {WEEKS} weeks, {len(WEEK) * WEEKS} sentences; milliseconds of processor time")
    print(f"{'sentence':52} {'median':>7} {'most':>7}  in")
    for (_, sentence), values in figures.items():
        most = max(values)
        print(f"{sentence:52} {statistics.median(value for value, _ in values):7.1f} {most[0]:7.1f}  {most[1]}")


main()
