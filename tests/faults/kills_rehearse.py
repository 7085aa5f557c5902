"""Kills a session at random moments, the keyboard's among them, and takes it up again: nothing is lost but the line that was being
typed, and what was kept does what it did.

kills_rehearse.py, with the program in $VATCAST; $VATCAST_KILLS (50) moments, $VATCAST_SEED (7). Sentences go in one by one, each
after the answer to the one before, as a person types; the last is cut off in the middle.
"""
import os
import random
import subprocess
import sys
import tempfile
import time

PROGRAM = os.environ["VATCAST"]
SCENARIO = os.path.join(os.environ["SCENARIOS_DIR"], "fresh-vat.conf")
KILLS = int(os.environ.get("VATCAST_KILLS", "50"))
SENTENCES = [
    "stir 2 min", "wait 1 hour", "read meter", "add 20 g fructose", "wait 3 hours", "why", "test strip", "dip napkin for 5 min",
    "air 20 min", "back 2", "wait until morning", "add 5 g lime then stir", "reveal", "wait 2 days", "look",
]

faults = []


def fault(words):
    faults.append(words)
    print("WRONG:", words)


def start(*arguments):
    return subprocess.Popen([PROGRAM, "rehearse", *arguments], stdin=subprocess.PIPE, stdout=subprocess.DEVNULL,
                            stderr=subprocess.DEVNULL)


def kept_in(journal):
    """The sentences that stand in the journal, whole lines only."""
    try:
        with open(journal, "rb") as file:
            text = file.read()
    except FileNotFoundError:
        return []
    lines = text[: text.rfind(b"\n") + 1].decode().splitlines()
    return [line[11:] for line in lines if line[8:11] in (" = ", " ? ")]


def wait_until_kept(journal, count, process):
    end = time.monotonic() + 60
    while len(kept_in(journal)) < count:
        if process.poll() is not None or time.monotonic() > end:
            return False
        time.sleep(0.0005)
    return True


def say_and_kill(journal, arguments, sentences, half, delay):
    """Says sentences, then half of one more, and kills some moments later. Returns how many were answered for sure."""
    process = start(*arguments)
    before = len(kept_in(journal))
    for number, sentence in enumerate(sentences):
        process.stdin.write(sentence.encode() + b"\n")
        process.stdin.flush()
        if number + 1 < len(sentences) and not wait_until_kept(journal, before + number + 1, process):
            fault(f"'{sentence}' was not kept")
            break
    process.stdin.write(half.encode())
    process.stdin.flush()
    time.sleep(delay)
    process.kill()
    process.wait()
    return before + max(0, len(sentences) - 1)


def result_of(folder, arguments, lines):
    """What a session comes to that says these lines: the bytes of its result."""
    path = os.path.join(folder, "end.h5")
    if os.path.exists(path):
        os.remove(path)
    text = "\n".join([*lines, f"save {path}"]) + "\n"
    run = subprocess.run([PROGRAM, "rehearse", *arguments], input=text.encode(), stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    if run.returncode != 0:
        fault(f"{arguments} ended with {run.returncode}: {run.stderr.decode()}")
        return b""
    with open(path, "rb") as file:
        return file.read()


def main():
    seed = int(os.environ.get("VATCAST_SEED", "7"))
    print(f"seed {seed}")
    chance = random.Random(seed)
    lost_lines = 0
    with tempfile.TemporaryDirectory(prefix="rehearse-kills-", dir=".") as folder:
        kill = 0
        while kill < KILLS:
            journal = os.path.join(folder, f"vat-{kill}.session")
            said = []
            arguments = [SCENARIO, "--journal", journal]
            # One session dies several times on its way.
            while len(said) < len(SENTENCES) and kill < KILLS:
                count = chance.randint(1, 5)
                sentences = SENTENCES[len(said) : len(said) + count]
                half = chance.choice(["", "wai", "add 20 g fruc", "sti"])
                sure = say_and_kill(journal, arguments, sentences, half, chance.choice([0.0, 0.001, 0.004, 0.02]))
                kept = kept_in(journal)
                if kept != SENTENCES[: len(kept)] or len(kept) < sure or len(kept) > len(said) + len(sentences):
                    fault(f"kill {kill}: of {len(said)} + {len(sentences)} sentences the journal holds {kept}")
                    return
                lost_lines += len(said) + len(sentences) - len(kept)
                said = kept
                arguments = ["--resume", journal] if os.path.exists(journal) and kept else [SCENARIO, "--journal", journal]
                if arguments[0] != "--resume" and os.path.exists(journal):
                    os.remove(journal)  # killed while its heading was written
                kill += 1
            if said and result_of(folder, ["--resume", journal], []) != result_of(folder, [SCENARIO], said):
                fault(f"after kill {kill}: taken up again, the session is another")
    print(f"{kill} kills, {lost_lines} of the lines just sent had not been answered")


main()
sys.exit(1 if faults else 0)
