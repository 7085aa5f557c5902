"""A lesson killed after each of its sentences is taken up again with its journal, and ends as if it had been one sitting. At a terminal
the journal is called after the title of the lesson, not after its file, whose name tells what the matter is. What was to be saved after
the debrief is saved then, also when the lesson was killed before."""
import os
import pty
import subprocess
import sys
import tempfile
import time

LESSON = "whipped-with-air"
PATIENCE = 60.0  # s for a sentence to reach the journal


def debrief(told):
    return told[told.index("\nDebrief"):]


def lesson(*arguments, said):
    done = subprocess.run([os.environ["VATCAST"], "lesson", *arguments], input=said, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    if done.returncode != 0:
        sys.exit(f"lesson {arguments} ended with {done.returncode}:\n{done.stdout}{done.stderr}")
    return debrief(done.stdout)


def kill_after(sentences, journal):
    """Says the sentences, each once the one before it is in the journal, and kills the lesson then."""
    with subprocess.Popen([os.environ["VATCAST"], "lesson", LESSON, "--journal", journal], stdin=subprocess.PIPE,
                          stdout=subprocess.DEVNULL, text=True) as process:
        for number, sentence in enumerate(sentences, 1):
            process.stdin.write(sentence + "\n")
            process.stdin.flush()
            given_up = time.monotonic() + PATIENCE
            while sum(line.rstrip().endswith(sentence) for line in kept(journal)) < sentences[:number].count(sentence):
                if time.monotonic() > given_up:
                    process.kill()
                    sys.exit(f"'{sentence}' does not reach the journal: {kept(journal)}")
                time.sleep(0.01)
        process.kill()


def kept(journal):
    if not os.path.exists(journal):
        return []
    with open(journal, encoding="utf-8") as file:
        return file.readlines()


def journals_at_a_terminal(folder, *lesson_words):
    """The names of the journals that are there after a lesson has been left, typed at a terminal of its own."""
    ours, theirs = pty.openpty()
    with subprocess.Popen([os.environ["VATCAST"], "lesson", *lesson_words], cwd=folder, stdin=theirs, stdout=subprocess.PIPE, stderr=subprocess.STDOUT) as process:
        os.close(theirs)
        os.write(ours, b"look\nquit\n")
        told = process.communicate(timeout=PATIENCE)[0].decode()
    os.close(ours)
    names = sorted(name for name in os.listdir(folder) if name.endswith(".session"))
    return names, told


def naming_faults():
    """What is wrong with the names of journals, as a list of sentences."""
    faults = []
    with tempfile.TemporaryDirectory() as folder:
        own = os.path.join(os.environ["SCENARIOS_DIR"], "lessons", LESSON + ".conf")
        with open(own, encoding="utf-8") as file, open(os.path.join(folder, "mine.conf"), "w", encoding="utf-8") as mine:
            mine.write(file.read().replace('title = "', 'title = "..\u00c4rger/ 2: ', 1))
        for words, wanted in (([LESSON], "a-helper-with-a-drill.session"), ([LESSON], "a-helper-with-a-drill.2.session"),
                              (["./mine.conf"], "\u00c4rger-2-a-helper-with-a-drill.session")):
            names, told = journals_at_a_terminal(folder, *words)
            if wanted not in names:
                faults.append(f"no journal {wanted} but {names} after:\n{told}")
    return faults


def put_off_faults():
    """What is wrong with saves that were put off to the debrief when the lesson is killed before it, as a list of sentences."""
    faults = []
    with tempfile.TemporaryDirectory() as folder:
        journal = os.path.join(folder, "cut.session")
        files = [os.path.join(folder, name) for name in ("alone.conf", "alone.h5", "joined.conf", "again.conf")]
        kill_after([f"save {files[0]}", f"save {files[1]}", f"stir for 2 min then save {files[2]}"], journal)
        if any(os.path.exists(file) for file in files):
            faults.append("what is hidden was saved before the debrief")
        for said in (f"save {files[3]}\n", "done\n"):  # taken up once more when all is written
            lesson("--resume", journal, said=said)
            faults += [f"after a kill {file} is not written" for file in files if not os.path.exists(file)]
    return faults


def main():
    with open(os.path.join(os.environ["TESTS_DIR"], "lessons", f"{LESSON}.good.txt"), encoding="utf-8") as file:
        sentences = [line.strip() for line in file if line.strip() and not line.startswith("#") and line.strip() != "done"]
    faults = 0
    with tempfile.TemporaryDirectory() as folder:
        whole = lesson(LESSON, said="\n".join(sentences) + "\n")
        for count in range(1, len(sentences) + 1):
            journal = os.path.join(folder, f"{count}.session")
            kill_after(sentences[:count], journal)
            resumed = lesson("--resume", journal, said="\n".join(sentences[count:]) + "\n")
            if resumed != whole:
                print(f"killed after {count} sentences, it ends otherwise:\n{resumed}\nthan in one sitting:\n{whole}")
                faults += 1
    for fault in naming_faults() + put_off_faults():
        print(fault)
        faults += 1
    print(f"{len(sentences)} times killed, {faults} faults")
    sys.exit(1 if faults else 0)


main()
