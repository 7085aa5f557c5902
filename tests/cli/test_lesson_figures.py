"""The figures of docs/lessons.md and docs/teaching.md are those of the lessons: each statement is written anew from what the scripts of
tests/lessons come to, and must stand so on its page. In the table of the twelve no figure may stand that no statement holds.

A statement is a text with figures left open and what to put in; a figure is rounded as the text says. Skipped without h5py.
"""
import functools
import os
import re
import subprocess
import sys
import tempfile

try:
    import h5py
except ImportError:
    print("skipped: no h5py")
    sys.exit(77)

DOCS = os.path.join(os.environ["SCENARIOS_DIR"], "..", "docs")
LESSONS = os.path.join(os.environ["SCENARIOS_DIR"], "lessons")
SCRIPTS = os.path.join(os.environ["TESTS_DIR"], "lessons")
HOUR = 3600.0


class Course:
    """What sentences of a lesson come to, over its whole time."""

    def __init__(self, lesson, said):
        with open(os.path.join(LESSONS, lesson + ".conf"), encoding="utf-8") as file:
            hour, minute = re.search(r'^start = "[-\d]+ (\d+):(\d+)";', file.read(), re.M).groups()
        self.first_clock = HOUR * int(hour) + 60.0 * int(minute)
        with tempfile.TemporaryDirectory() as folder:
            done = subprocess.run([os.environ["VATCAST"], "lesson", lesson], input="save course.h5\n" + said, cwd=folder,
                                  stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
            if done.returncode != 0:
                sys.exit(f"{lesson} ended with {done.returncode}:\n{done.stdout}{done.stderr}")
            with h5py.File(os.path.join(folder, "course.h5")) as file:
                self.columns = {name: item[:] for name, item in file.items() if isinstance(item, h5py.Dataset)}
                self.states = file["state"].attrs["flag_meanings"].split()
                self.shades = file["pieces/shade"].attrs["flag_meanings"].split()
                for table in ("dips", "pieces", "events"):
                    self.columns.update({f"{table}/{name}": item[:] for name, item in file[table].items()})
                self.ledgers = {name: self.ledger(item) for name, item in file["ledger"].items()}

    @staticmethod
    def ledger(group):
        """By the name of each row: what came in (positive), went out (negative) or is left (negative), and its part."""
        names = group["row"].attrs["flag_meanings"].split()
        return {name: (amount, int(part)) for name, amount, part in zip(names, group["amount"][:], group["part"][:])}

    def time(self, moment):
        day, hour, minute = re.fullmatch(r"day (\d+) (\d+):(\d+)", moment).groups()
        return 24 * HOUR * (int(day) - 1) + HOUR * int(hour) + 60.0 * int(minute) - self.first_clock

    def at_time(self, name, time):
        """A series at the last record up to a time."""
        return self.columns[name][self.columns["time"] <= time + 0.5][-1]

    def at(self, name, moment):
        return self.at_time(name, self.time(moment))

    def begun(self, name, moment):
        """A series at the first record from a moment on, before what was done then."""
        return self.columns[name][self.columns["time"] >= self.time(moment) - 0.5][0]

    def state(self, moment):
        return self.states[int(self.at("state", moment))].replace("_", " ")

    def lowest(self, name, since):
        return self.columns[name][self.columns["time"] >= self.time(since) - 0.5].min()

    def came_in(self, ledger):
        return sum(amount for amount, part in self.ledgers[ledger].values() if part < 2 and amount > 0)

    def left(self, ledger):
        return -sum(amount for amount, part in self.ledgers[ledger].values() if part == 2)

    def row(self, ledger, name):
        return abs(self.ledgers[ledger][name][0])

    def dipped(self):
        return self.columns["pieces/dips"] > 0

    def owf(self):
        return self.columns["pieces/owf_washed"][self.dipped()]

    def shade_counts(self):
        """How many of the pieces dipped have each shade, the deepest first."""
        codes = self.columns["pieces/shade"][self.dipped()].astype(int)
        return [(int((codes == code).sum()), self.shade(code)) for code in sorted(set(codes), reverse=True)]

    def shade(self, code=None):
        code = int(self.columns["pieces/shade"][self.dipped()].min()) if code is None else code
        return self.shades[code].replace("_", " ")

    def dips(self, name):
        return self.columns[f"dips/{name}"]


@functools.lru_cache(maxsize=None)
def course(script):
    """The course of a file of tests/lessons, "lime-short.good"."""
    with open(os.path.join(SCRIPTS, script + ".txt"), encoding="utf-8") as file:
        return Course(script.split(".")[0], file.read())


def masses(played):
    """What was added, in g, one after the other."""
    added = (played.columns["events/action"] == 0) & (played.columns["events/done"] > 0)
    return [1000.0 * mass for mass in played.columns["events/mass"][added]]


def said(count_and_shade):
    return "%d %s" % count_and_shade


def table_of_the_twelve():
    """What the table says that the mistake and the good course of each lesson come to."""
    def ends(lesson):
        return course(f"{lesson}.bad"), course(f"{lesson}.good")

    def alike(values):
        """The middle of three dips, which lie near each other."""
        return sorted(values)[len(values) // 2]

    bad, good = ends("first-vat")
    yield "first-vat", f"{alike(bad.dips('leuco')):.2f} at the dips, {bad.shade()}", f"{alike(good.dips('leuco')):.2f} at the dips, {good.shade()}"
    bad, good = ends("waking-a-rested-vat")
    at = "day 2 10:00"
    yield ("waking-a-rested-vat", f"{bad.at('leuco', at):.2f}, {bad.state(at)}; {bad.came_in('indigo'):.0f} g of indigotin in it",
           f"{good.at('leuco', at):.2f}, {good.state(at)}; {good.came_in('indigo'):.0f} g in it")
    bad, good = ends("lime-short")
    at = "day 2 09:00"
    yield "lime-short", *(f"{end.at('leuco', at):.2f}, pH {end.at('ph', at):.1f}" for end in (bad, good))
    bad, good = ends("overlimed")
    yield "overlimed", f"{bad.shade()}, {bad.owf().min():.2f} %, pH {bad.at('ph', at):.1f}", f"{good.shade()}, {good.owf().min():.2f} %"
    bad, good = ends("cold-shed")
    yield ("cold-shed", f"{bad.at('leuco', at):.2f}; {bad.row('hexose', 'fructose'):.0f} of {bad.came_in('hexose'):.0f} g of the sugar still there",
           f"{good.at('leuco', at):.2f}; {good.row('hexose', 'fructose'):.0f} g still there")
    bad, good = ends("whipped-with-air")
    at = "day 2 16:00"
    yield ("whipped-with-air", f"{bad.at('leuco', at):.2f} at four; {bad.shade()}, {bad.owf().min():.2f} %",
           f"{good.at('leuco', at):.2f}; {good.shade()}, {good.owf().min():.2f} %")
    bad, good = ends("sediment-stirred-up")
    at = "day 2 09:00"
    racked = course("sediment-stirred-up.bad-racked")
    cloudy = [int(sum(end.at_time("state", time) == end.states.index("stirred_up") for time in end.dips("time"))) for end in (bad, good)]
    yield ("sediment-stirred-up", f"{cloudy[0]} of {len(bad.dips('time'))} dips in cloudy liquor; or {racked.begun('leuco', 'day 1 09:10'):.1f} becomes "
           f"{racked.at('leuco', at):.1f} by morning", f"{'clear' if cloudy[1] == 0 else 'cloudy'}; {good.at('leuco', at):.2f} by morning")
    bad, good = ends("spoon-against-scale")
    at = "day 4 09:00"
    yield ("spoon-against-scale", f"pH {bad.at('ph', at):.1f} on day 4: the lime has gone to the acids of the sugar, "
           f"{bad.row('lime', 'acids_of_breakdown'):.0f} of {bad.ledgers['lime']['added'][0]:.0f} g",
           f"pH {good.at('ph', at):.1f}, {good.state(at)}; or by the spoon and {masses(course('spoon-against-scale.good-mended'))[-1]:.0f} g of lime on day 2")
    bad, good = ends("two-corrections-at-once")
    at = "day 1 17:00"
    yield ("two-corrections-at-once", "not ready at five" if bad.state(at) != "ready" else "ready at five",
           f"{good.at('leuco', at):.2f}, {good.state(at)}, " + ("nothing given" if not masses(good) else "something given"))
    bad, good = ends("twelve-people-and-one-bucket")
    ratios = [end.owf().max() / end.owf().min() for end in (bad, good)]
    count, shade = bad.shade_counts()[0]
    yield ("twelve-people-and-one-bucket", f"{count} of {len(bad.owf())} {shade}, the darkest {ratios[0]:.2f} times the palest",
           f"{good.shade_counts()[0][0]} of {len(good.owf())}, {ratios[1]:.2f} times")
    bad, good = ends("bran-vat-going-sour")
    at = "day 14 09:00"
    yield ("bran-vat-going-sour", f"pH {bad.lowest('ph', 'day 8 21:00'):.1f}, {bad.state(at)}",
           f"pH {good.lowest('ph', 'day 8 21:00'):.1f} at the lowest, {good.state(at)}")
    bad, good = ends("when-to-stop")
    at = "day 2 09:00"
    yield ("when-to-stop", f"{said(bad.shade_counts()[0])}, {bad.shade_counts()[1][0]} paler; {bad.state(at)} next morning",
           f"{said(good.shade_counts()[0])}; {good.state(at)}")


def teaching():
    """Statements of teaching.md, in its order."""
    cold, warm = course("first-vat.bad"), course("first-vat.good")
    undipped = Course("first-vat", "add 100 g indigo powder\nadd 200 g slaked lime\nadd 300 g fructose\nstir\nwait 1 h\nstir\n")
    yield f"until evening to come to {undipped.columns['leuco'][-1]:.2f} g/L of leuco; at 50 C it stands at {warm.dips('leuco')[0]:.1f} after two"
    yield f"takes {cold.owf().min():.2f} % of indigo on its weight from the cold vat, hardly a tint, and {warm.owf().min():.2f} %, {warm.shade()}, from the warm one"

    short, shed, limed = (Course(lesson, "") for lesson in ("lime-short", "cold-shed", "overlimed"))
    yield (f"{short.columns['ph'][0]:.1f} at {short.columns['temperature'][0]:.0f} C: no alkali. {shed.columns['temperature'][0]:.0f} C: no warmth. "
           f"{limed.columns['ph'][0]:.1f} at {limed.columns['temperature'][0]:.0f} C")
    fed, limed_short = course("lime-short.bad"), course("lime-short.good")
    yield f"{fed.row('hexose', 'fructose'):.0f} of its {fed.came_in('hexose'):.0f} g were still there as fructose the next noon"
    yield f"brought the pH from {short.columns['ph'][0]:.1f} to {fed.at('ph', 'day 2 09:00'):.1f} in a day. 40 g of lime alone had it {limed_short.state('day 1 18:00')} by evening"
    fed, warmed = course("cold-shed.bad"), course("cold-shed.good")
    yield (f"fed cold, {fed.row('hexose', 'fructose'):.0f} of {fed.came_in('hexose'):.0f} g of sugar were left the next noon; warmed and fed, "
           f"{warmed.row('hexose', 'fructose'):.0f} g")
    hurried, patient, warmed = course("overlimed.bad"), course("overlimed.good"), course("overlimed.bad-warmed")
    yield f"the same leuco at 11.5: {hurried.shade()}, {hurried.owf().min():.2f} %"
    yield (f"120 g of sugar and a night brought the pH from {limed.columns['ph'][0]:.1f} to {patient.at('ph', 'day 2 09:00'):.1f} and the leuco from "
           f"{limed.columns['leuco'][0]:.2f} to {patient.at('leuco', 'day 2 09:00'):.2f} g/L: {patient.owf().min():.2f} %, {patient.shade()}")
    yield (f"The napkins were {warmed.shade()}; the next morning the vat had less leuco than before, {warmed.at('leuco', 'day 2 09:00'):.2f} of "
           f"{warmed.columns['leuco'][0]:.2f} g/L")

    alone, whipped, fed = Course("whipped-with-air", ""), course("whipped-with-air.bad"), course("whipped-with-air.good")
    cool = Course("whipped-with-air", "add 40 g fructose\nstir\ncover\n")
    yield (f"From {alone.at('leuco', 'day 2 08:55'):.2f} to {alone.at('leuco', 'day 2 09:15'):.2f} g/L. Some {alone.row('oxygen', 'stirred_in'):.1f} g of oxygen "
           "went in")
    yield f"It took the rest: {whipped.dips('leuco')[-1]:.2f} g/L when the cloth went in, and {whipped.owf().min():.2f} % on it"
    yield (f"six hours under a lid: {fed.at('leuco', 'day 2 16:00'):.2f}. Without warmth 40 g of sugar had it at {cool.at('leuco', 'day 2 16:00'):.2f} by four, "
           "too")

    cloudy, settled, racked = course("sediment-stirred-up.bad"), course("sediment-stirred-up.good"), course("sediment-stirred-up.bad-racked")
    found = Course("sediment-stirred-up", "")
    leuco = found.begun("leuco", "day 1 09:10")
    yield f"(the paddle brought the pH from {found.at('ph', 'day 1 08:55'):.1f} to {cloudy.dips('ph')[0]:.1f}, where it stays)"
    yield f"Cloth took {cloudy.owf().min():.2f} % at once and {settled.owf().min():.2f} % after five hours"
    yield f"reduced overnight: {leuco:.2f} became {settled.at('leuco', 'day 2 09:00'):.2f} g/L"
    yield f"With it went {leuco - racked.at('leuco', 'day 2 09:00'):.1f} of the {leuco:.1f} g/L"

    spooned, weighed = course("spoon-against-scale.bad"), course("spoon-against-scale.good")
    grams, wanted = masses(spooned), masses(weighed)
    yield (f"Ten, fifteen and thirty spoons are {grams[0]:.0f}, {grams[1]:.0f} and {grams[2]:.0f} g where the recipe wants {wanted[0]:.0f}, {wanted[1]:.0f} and "
           f"{wanted[2]:.0f}")
    yield f"The first cloth is {spooned.shade()} both ways" if spooned.shade() == weighed.shade() else "The first cloth differs"
    yield (f"On day 2 the pH is {spooned.at('ph', 'day 2 10:00'):.1f} instead of {weighed.at('ph', 'day 2 10:00'):.1f}, on day 4 it is "
           f"{spooned.at('ph', 'day 4 09:00'):.1f}. Of {spooned.ledgers['lime']['added'][0]:.0f} g of lime {spooned.row('lime', 'acids_of_breakdown'):.0f} had gone")
    yield f"60 g of lime on day 2, by the strip: {course('spoon-against-scale.good-mended').state('day 4 09:00')} on day 4"

    rushed, fed = course("twelve-people-and-one-bucket.bad"), course("twelve-people-and-one-bucket.good")
    yield f"No: {fed.came_in('indigo'):.0f} g, of which {fed.row('indigo', 'sorbed_by_cloth'):.0f} g end on cloth"
    yield (f"from {rushed.owf().max():.2f} % down to {rushed.owf().min():.2f} %, {['no', 'nine'][rushed.shade_counts()[0][0] == 9]} of twelve "
           f"{rushed.shade_counts()[0][1]}")
    yield f"two hours of rest: {fed.owf().max():.2f} to {fed.owf().min():.2f} %, all twelve"

    cold, woken = course("waking-a-rested-vat.bad"), course("waking-a-rested-vat.good")
    yield (f"It was at {woken.columns['temperature'][0]:.0f} C and out of sugar; {woken.came_in('indigo'):.0f} g of indigotin lay in it. Warmth, then 60 g of sugar, "
           f"then 30 g of lime: {woken.at('leuco', 'day 2 10:00'):.1f} g/L the next day. New indigo and sugar, cold: {cold.at('leuco', 'day 2 10:00'):.2f}, "
           f"{cold.state('day 2 10:00')} to dye")

    souring, held, late = Course("bran-vat-going-sour", ""), course("bran-vat-going-sour.good"), course("bran-vat-going-sour.bad-late")
    yield (f"brought it from {souring.at('ph', 'day 8 21:00'):.1f} to {souring.at('ph', 'day 9 09:00'):.1f} overnight and to {souring.at('ph', 'day 10 09:00'):.1f} "
           "a day later")
    yield f"held it above {held.lowest('ph', 'day 8 21:00'):.1f}"
    given = sum(masses(late)[-4:])
    yield f"it could still be brought to {late.state('day 14 09:00')} on day 14, with {given:.0f} g; after two it was {course('bran-vat-going-sour.bad').state('day 14 09:00')}"


def page(name):
    with open(os.path.join(DOCS, name), encoding="utf-8") as file:
        return file.read()


def main():
    faults = 0
    rows = {cells[2].strip(" `"): cells for cells in (line.split("|") for line in page("lessons.md").split("\n")) if len(cells) == 8}
    for lesson, *comes_to in table_of_the_twelve():
        stands = [rows[lesson][4].strip(), rows[lesson][6].strip()]
        for is_said, is_so in zip(stands, comes_to):
            if is_said != is_so:
                print(f"lessons.md, the table, {lesson}: '{is_said}' should be '{is_so}'")
                faults += 1
    text = " ".join(page("teaching.md").split()).replace("*", "")
    count = 0
    for statement in teaching():
        count += 1
        if statement not in text:
            print(f"teaching.md does not say: '{statement}'")
            faults += 1
    print(f"{len(rows)} rows, {count} statements, {faults} faults")
    sys.exit(1 if faults or count < 20 else 0)


main()
