"""What is done only where a person watches: the line of progress, and colour. The program is given a terminal of its own (pty) for
stderr or stdout, and pipes for comparison. Each long run is interrupted once the line has been seen, or would have been.
"""
import os
import pty
import re
import select
import signal
import subprocess
import sys
import tempfile
import time

PROGRAM = os.environ["VATCAST"]
SHORT = os.path.join(os.environ["TESTS_DIR"], "faults", "short-vat.conf")
LONG = ["sweep", SHORT, "-o", "long.h5", "--over=constants", "--runs=100000", "--threads=1", "--summary-only"]  # minutes
BAR = re.compile(rb"\r\[(#*)(\.*)\] +(\d+) %(, [\d.]+ (?:s|min|h) left)?\x1b\[K")
PATIENCE = 60.0  # s

faults = []


def check(holds, words):
    if not holds:
        faults.append(words)
        print("WRONG:", words)


def surroundings(**changes):
    """Our own environment for a terminal that can all."""
    kept = {name: value for name, value in os.environ.items() if name not in ("NO_COLOR", "COLORTERM")}
    return {**kept, "TERM": "xterm", **changes}


def on_terminal(stream, words, enough, environment, folder):
    """Runs with a terminal as `stream`, until `enough` of what came or the end; then interrupts. What came, and the status."""
    ours, theirs = pty.openpty()
    streams = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, stream: theirs}
    process = subprocess.Popen([PROGRAM, *words], env=environment, cwd=folder, stdin=subprocess.DEVNULL, **streams)
    os.close(theirs)
    came = b""
    begun = time.monotonic()
    told = False
    while True:
        if not told and (enough(came) or time.monotonic() - begun > PATIENCE):
            process.send_signal(signal.SIGINT)
            told = True
        if not select.select([ours], [], [], 0.1)[0]:
            continue
        try:
            more = os.read(ours, 65536)
        except OSError:  # how a pty tells its end
            break
        if not more:
            break
        came += more
    os.close(ours)
    return came, process.wait(), time.monotonic() - begun


def bars(came):
    return list(BAR.finditer(came))


def try_progress(folder):
    """On a terminal the line comes, grows, tells how long it will be, and is wiped away. How long that took."""
    came, status, took = on_terminal("stderr", LONG, lambda text: any(bar.group(4) for bar in bars(text)[1:]), surroundings(), folder)
    shown = bars(came)
    check(len(shown) >= 2, f"on a terminal no line of progress came: {came!r}")
    check(status == 8, f"the sweep watched ended with {status}")
    for bar in shown:
        check(len(bar.group(1)) + len(bar.group(2)) == 30, f"a bar of another width: {bar.group(0)!r}")
        check(abs(len(bar.group(1)) / 30 - int(bar.group(3)) / 100) < 0.05, f"bar and per cent differ: {bar.group(0)!r}")
    shares = [int(bar.group(3)) for bar in shown]
    check(shares == sorted(shares), f"progress goes back: {shares}")
    last = came[shown[-1].end():] if shown else came
    check(last.startswith(b"\r\x1b[K"), f"the line is not wiped away before what follows: {last!r}")
    print(f"progress shown {len(shown)} times in {took:.1f} s")
    return took


def try_no_progress(folder, took):
    """None in a pipe; none on a terminal that is dumb, or when told to be quiet."""
    process = subprocess.Popen([PROGRAM, *LONG, "--force"], env=surroundings(), cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    time.sleep(took)
    process.send_signal(signal.SIGINT)
    _, said = process.communicate()
    check(b"\r" not in said and b"%" not in said, f"progress in a pipe: {said!r}")
    for words, environment in ((LONG + ["--force"], surroundings(TERM="dumb")), (LONG + ["--force", "-q"], surroundings())):
        end = time.monotonic() + took
        came, status, _ = on_terminal("stderr", words, lambda text: time.monotonic() > end, environment, folder)
        check(not bars(came) and b"\x1b" not in came, f"progress though dumb or quiet: {came!r}")
        check(status == 8, f"a run ended with {status}")


def try_colour(folder):
    """Colour on a terminal, unless it is dumb, NO_COLOR is set, or it is asked not to be."""
    subprocess.run([PROGRAM, "run", "-q", SHORT, "-o", "short.h5"], cwd=folder, check=True)
    for words, environment, wanted in (
        (["show", "short.h5"], surroundings(), True),
        (["show", "short.h5"], surroundings(COLORTERM="truecolor"), True),
        (["show", "short.h5"], surroundings(NO_COLOR="1"), False),
        (["show", "short.h5"], surroundings(NO_COLOR=""), True),
        (["show", "short.h5"], surroundings(TERM="dumb"), False),
        (["show", "short.h5", "--color=never"], surroundings(), False),
    ):
        came, status, _ = on_terminal("stdout", words, lambda text: False, environment, folder)
        check(status == 0 and b"Result" in came, f"show ended with {status}: {came!r}")
        check((b"\x1b[" in came) == wanted, f"colour {'wanted' if wanted else 'not wanted'}: {words} {came[:200]!r}")
        check((b"\x1b[48;2;" in came or b"\x1b[38;2;" in came) == ("COLORTERM" in environment), f"all colours or few: {came[:200]!r}")
    piped = subprocess.run([PROGRAM, "show", "short.h5"], env=surroundings(), cwd=folder, stdout=subprocess.PIPE, check=True).stdout
    check(b"\x1b" not in piped, "colour in a pipe")


def main():
    with tempfile.TemporaryDirectory() as folder:
        took = try_progress(folder)
        try_no_progress(folder, took)
        try_colour(folder)
    sys.exit(1 if faults else 0)


main()
