"""Hostile files are refused in words, with little time and memory: processor time by a hard limit, memory by the largest
that the process (or a child of it) ever held.

limits.py, with the program in $VATCAST. Promised in docs/security.md: 10 s and 200 MB, whatever the file. A program with the address sanitizer takes more than twice the memory by itself, and cannot have its
memory limited: it is allowed more, and takes two of the files.
"""
import os
import random
import resource
import struct
import subprocess
import sys
import tempfile

PROGRAM = os.environ["VATCAST"]
HERE = os.path.dirname(os.path.abspath(__file__))
SECONDS = 10
REFUSALS = {2, 3, 4, 6}

with open(os.path.join(HERE, "short-vat.conf"), encoding="utf-8") as file:
    SHORT = file.read()
HEAD, CALENDAR = SHORT.split("calendar = (")
with open(PROGRAM, "rb") as file:
    SANITIZED = b"__asan_init" in file.read()
MEGABYTES = 700 if SANITIZED else 200

faults = []
most = [0.0, 0.0]


def limit():
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))


def refuse(name, *arguments, says=None, may_pass=False):
    """Runs the program, which must refuse; `says` is a part of what it then says."""
    environment = dict(os.environ, ASAN_OPTIONS="quarantine_size_mb=4:malloc_context_size=2")
    with tempfile.TemporaryFile() as said:
        process = subprocess.Popen([PROGRAM, *arguments], stdin=subprocess.DEVNULL, stdout=said, stderr=said,
                                   preexec_fn=limit, env=environment)
        _, ending, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(ending)
        said.seek(0)
        words = said.read(200000).decode(errors="replace")
    megabytes = used.ru_maxrss / 1024
    seconds = used.ru_utime + used.ru_stime
    most[0], most[1] = max(most[0], seconds), max(most[1], megabytes)
    wrong = []
    if process.returncode not in REFUSALS and not (may_pass and process.returncode == 0):
        wrong.append(f"ended with {process.returncode}")
    if megabytes > MEGABYTES:
        wrong.append("took too much memory")
    if says and says not in words:
        wrong.append(f"does not say '{says}'")
    print(f"{'WRONG ' if wrong else ''}{name}: {megabytes:.0f} MB", *wrong, words[:300] if wrong else "", flush=True)
    if wrong:
        faults.append(name)


def check(name, text, says=None, may_pass=False):
    path = name.replace(" ", "-") + ".conf"
    with open(path, "wb") as file:
        file.write(text if isinstance(text, bytes) else text.encode())
    refuse(name, "check", path, says=says, may_pass=may_pass)


def sparse(path, size, begin=b""):
    with open(path, "wb") as file:
        file.write(begin)
        file.truncate(size)
    return path


def texts():
    check("nested lists", "a = " + "(" * 10000 + ")" * 10000 + ";", "nested more than 32 deep")
    check("nested groups", "a = { " * 10000, "nested more than 32 deep")
    check("too long", " " * (256 * 1024 + 1), "too long; expected at most 256 KiB")
    check("many settings", "".join(f"a{i} = 1;\n" for i in range(20000)), "more than 12000 settings")
    check("many in one group", "".join(f"a{i} = 1;\n" for i in range(5000)), "unknown key 'a0'")
    check("many numbers in a list", "a = (" + "1," * 120000 + "1);", "more than 12000 settings")
    check("long text", 'title = "' + "x" * 255000 + '";', "title")
    check("long key", "x" * 255000 + " = 1;")
    check("long number", "seed = " + "9" * 255000 + ";", "is too large")
    check("long number of noughts", "seed = " + "0" * 255000 + "1;")
    check("long comment", "/*" + "*" * 255000, "not closed")
    check("quotes", '"' * 255000)
    check("backslashes", 'a = "' + "\\" * 255000)
    check("lines", "\n" * 255000, "missing")
    check("noise", bytes(range(256)) * 1000, "control character")
    check("long unit", SHORT.replace("50 degC", "50 " + "m." * 120000 + "m"))
    check("high powers", SHORT.replace("50 degC", "50 (((((m^99999999)^99999999)^99999999)^99999999)^99999999)"))
    check("great sizes", SHORT.replace("28 cm", "1e300 km").replace("18 L", "1e300 L"))
    check("long and often", SHORT.replace("10 min", "3 years", 1).replace("2 min", "1 s", 1), "recordings")
    check("many events", HEAD + "calendar = (" + ",".join(['{do="skim";at="day 1"}'] * 2001) + ");", "2001 entries")
    check("events every second", HEAD.replace("10 min", "3 years", 1) +
          'calendar = ( { every = "1 s"; do = "stir"; } );')
    chain = ",".join([f'{{ at = "+1 min"; do = "dip"; soak = "1 s"; air = "1 s"; dips = 50; label = "e0"; }}'] +
                     [f'{{ after = "e{i}"; do = "dip"; soak = "1 s"; air = "1 s"; dips = 50; label = "e{i + 1}"; }}'
                      for i in range(600)])
    check("a long chain of dips", HEAD.replace("10 min", "60 days", 1) + "calendar = (" + chain + ");", may_pass=True)
    check("a long chain of events", HEAD + "calendar = (" + ",".join(
        ['{ at = "+1 min"; do = "stir"; label = "e0"; }'] +
        [f'{{ after = "e{i}"; do = "stir"; label = "e{i + 1}"; }}' for i in range(1500)]) + ");", may_pass=True)


def includes():
    filling = "# " + "x" * 70 + "\n"
    for i in range(30):
        with open(f"part{i}.inc", "w", encoding="utf-8") as file:
            file.write(filling * 3500)
    check("many includes", "".join(f'@include "part{i}.inc"\n' for i in range(30)) + SHORT, "cannot be included")
    for i in range(8):
        with open(f"deep{i}.inc", "w", encoding="utf-8") as file:
            file.write(f'@include "deep{i + 1}.inc"\n' * 50)
    check("includes upon includes", '@include "deep0.inc"\n' * 50, "cannot be included")
    check("includes itself", '@include "includes-itself.conf"\n' * 100, "cannot be included")


def not_files():
    os.mkfifo("pipe")
    os.mkdir("folder")
    for verb, options in (("check", []), ("show", []), ("report", ["-o", "page.html"]), ("export", ["-o", "tables"])):
        for path in ("/dev/zero", "/dev/stdin", "pipe", "folder", "missing"):
            refuse(f"{verb} of {path}", verb, path, *options)


def results():
    run = subprocess.run([PROGRAM, "run", "-q", os.path.join(HERE, "short-vat.conf"), "-o", "sound.h5"], check=False)
    if run.returncode != 0:
        sys.exit("the short run failed")
    # Made by another process: what this one holds when it starts a program counts as the program's.
    made = subprocess.run([sys.executable, "-B", os.path.abspath(__file__), "--make"], check=False)
    refuse("two gigabytes", "show", sparse("great.h5", 2 << 30), says="larger than")
    refuse("400 MB of nothing", "show", sparse("nothing.h5", 400 << 20), says="file signature not found")
    refuse("400 MB of nothing behind a result", "show", sparse("tail.h5", 400 << 20, open("sound.h5", "rb").read()),
           says="was added to")
    refuse("half a result", "show", sparse("half.h5", 50000, open("sound.h5", "rb").read(50000)), says="cut short")
    if made.returncode != 0:
        print("without h5py: hostile HDF5 files not tried")
        return
    refuse("rows that are not there", "show", "hollow.h5", says="not in the file")
    refuse("rows that are not there, in one chunk", "show", "chunk.h5", says="not in the file")
    refuse("rows packed tight", "show", "bomb.h5", says="unfolds into more numbers")
    refuse("rows packed tight, and padding", "show", "padded.h5", says="unfolds into more numbers")
    refuse("members packed tight", "show", "members.h5", says="unfolds into more numbers")
    refuse("more rows than there are numbers", "show", "endless.h5", says="rows; expected at most")
    refuse("a great many rows", "show", "rows.h5", says="rows; expected at most")
    refuse("a text of 100 MB", "show", "text.h5", says="cannot be read")
    refuse("three texts of 31 MB", "show", "texts.h5", may_pass=True)
    spoiled()


def spoiled():
    """A result of some megabytes, without its seal, with bytes changed where HDF5 keeps its own books and elsewhere."""
    run = subprocess.run([PROGRAM, "run", "-q", os.path.join(HERE, "short-vat.conf"), "--set", "record=1 s", "--set", "lasts=2 h",
                          "-o", "long.h5"], check=False)
    if run.returncode != 0:
        sys.exit("the long run failed")
    with open("long.h5", "rb") as file:
        sound = file.read()[:-86]
    draw = random.Random(20260504)
    for number in range(3 if SANITIZED else 40):
        changed = bytearray(sound)
        for _ in range(draw.choice([1, 10, 300])):
            changed[draw.randrange(4096 if draw.random() < 0.3 else len(changed))] = draw.randrange(256)
        with open("spoiled.h5", "wb") as file:
            file.write(changed)
        refuse(f"{len(sound) >> 20} MB spoiled, {number}", "show", "spoiled.h5", may_pass=True)


def parts():
    """Parts of a sweep: a head of ten words, a heading in JSON, rows of numbers (src/record/journal.h)."""
    subprocess.run([PROGRAM, "sweep", os.path.join(HERE, "short-vat.conf"), "--over", "leuco_pk2", "--runs", "2", "--part", "1/2",
                    "-q", "-o", "part"], check=True)
    with open("part", "rb") as file:
        sound = bytearray(file.read())

    def part(name, at, value, says, beyond=0):
        """With another number in the head, at this word from its end."""
        changed = bytearray(sound)
        head = changed.index(b"{") - 8 * at
        changed[head:head + 8] = struct.pack("=Q", value)
        refuse(name, "merge", sparse("changed", len(changed) + beyond, changed), "-o", "merged.h5", says=says)

    part("a heading of 16 MB", 1, 16 << 20, "is damaged", beyond=32 << 20)
    part("rows of 500 MB", 2, (1 << 26) - 1, "does not hold what its heading says", beyond=1 << 30)
    part("rows without end", 2, 1 << 60, "is damaged")
    part("a great many runs", 3, 1 << 60, "runs 2 to 1152921504606846976 are still to be done")


def make():
    """Writes hostile results into the working folder, from the sound one that is there."""
    import h5py
    import numpy

    with open("sound.h5", "rb") as file:
        sound = file.read()[:-86]  # without its seal, as from another program

    def change(path, **how):
        """A result whose one series is `time`, made so."""
        with open(path, "wb") as file:
            file.write(sound)
        with h5py.File(path, "r+") as file:
            kept = dict(file["time"].attrs)
            for name in [name for name in file if isinstance(file[name], h5py.Dataset)]:
                del file[name]
            made = file.create_dataset("time", dtype="f8", **how)
            for key in ("units", "long_name"):
                made.attrs[key] = kept[key]

    def pack(path, columns, rows):
        """A result of so many columns of noughts, in chunks that deflate can make next to nothing of."""
        change(path, data=numpy.zeros(rows), chunks=(1 << 18,), compression=9)
        with h5py.File(path, "r+") as file:
            kept = dict(file["time"].attrs)
            for number in range(columns - 1):
                column = file.create_dataset(f"packed_{number}", data=numpy.zeros(rows), chunks=(1 << 18,), compression=9)
                column.attrs["units"] = "1"
                column.attrs["long_name"] = kept["long_name"]

    change("hollow.h5", shape=(2_000_000,), chunks=(1024,))
    change("chunk.h5", shape=(2_000_000,), chunks=(2_000_000,))
    change("rows.h5", shape=(20_000_000,), chunks=(1024,))
    change("endless.h5", shape=(1 << 60,), maxshape=(None,), chunks=(1024,))
    pack("bomb.h5", 60, 2_000_000)
    pack("padded.h5", 25, 2_000_000)
    with h5py.File("padded.h5", "r+") as file:
        file.create_group("padding").create_dataset("noise", data=numpy.random.default_rng(1).random(1_500_000))
    pack("members.h5", 1, 2_000_000)
    with h5py.File("members.h5", "r+") as file:
        file.attrs["format_name"] = "vatcast-sweep"
        for number in range(40):
            column = file.create_dataset(f"drawn_{number}", data=numpy.zeros(2_000_000), chunks=(1 << 18,), compression=9)
            for key in ("units", "long_name", "setting", "drawn"):
                column.attrs[key] = "1"
            column.attrs["low"] = column.attrs["high"] = 0.0
        del file["time"]
    for path, size in (("text.h5", 100 << 20), ("texts.h5", 31 << 20)):
        with open(path, "wb") as file:
            file.write(sound)
        with h5py.File(path, "r+") as file:
            file["provenance"].attrs["scenario_text" if path == "texts.h5" else "status"] = "x" * size
            if path == "texts.h5":
                file["provenance"].attrs["model_text"] = "x" * size
                file["events"].attrs["labels"] = "x" * size


def main():
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        texts()
        includes()
        not_files()
        results()
        parts()
        os.chdir("/")
    print(f"most: {most[0]:.1f} s of processor time (limit {SECONDS}), {most[1]:.0f} MB (limit {MEGABYTES}"
          f"{', sanitized' if SANITIZED else ''}); {len(faults)} taken badly")
    sys.exit(1 if faults else 0)


if sys.argv[1:] == ["--make"]:
    try:
        make()
    except ImportError:
        sys.exit(1)
else:
    main()
