"""The report opened in a real browser: silent, asking nothing of any network, true to the result file, and usable.

The promises are those of docs/report.md. The program is $VATCAST; ends with 77 where there is no browser.
"""
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from browser import Browser  # noqa: E402

import h5py  # noqa: E402

HERE = pathlib.Path(__file__).resolve().parent
AXE = (HERE / "vendor" / "axe.min.js").read_text(encoding="utf-8")
LARGEST = 2_000_000  # bytes, of a page of six weeks

HOSTILE_TITLE = "</script><script>window.hacked=1</script> \"'&amp; <img src=x onerror=window.hacked=1>"
RIGHT_TO_LEFT = "\u05e9\u05dc\u05d5\u05dd \u202e gnitnarf"
HOSTILE_NAME = "<b onclick=hacked>sash</b>" + RIGHT_TO_LEFT + "x" * 300


def vatcast(*arguments):
    done = subprocess.run([os.environ["VATCAST"], *map(str, arguments)], stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                          text=True)
    if done.returncode != 0:
        raise AssertionError(f"vatcast {arguments}: {done.returncode}\n{done.stdout}")


def number(text):
    return float(re.match(r"[\u2212\d.,]+", text).group().replace("\u2212", "-").replace(",", ""))


def last_digit(text):
    """Half a unit of the last digit shown, and the rounding to five digits in the page."""
    digits = re.match(r"[\u2212\d,]+(?:\.(\d+))?", text).group(1) or ""
    return 0.5 * 10 ** -len(digits) + 1e-5 * abs(number(text)) + 1e-12


class Pages(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = pathlib.Path(tempfile.mkdtemp(prefix="vatcast-report-"))
        scenarios = pathlib.Path(os.environ["SCENARIOS_DIR"])
        small = HERE.parent / "cli" / "small-vat.conf"
        cls.small = cls.folder / "small.h5"
        cls.weeks = cls.folder / "weeks.h5"
        cls.hostile = cls.folder / "hostile.h5"
        vatcast("run", small, "-o", cls.small, "-q")
        vatcast("run", scenarios / "valley-sashes.conf", "-o", cls.weeks, "-q")
        cls.banded = cls.folder / "banded.h5"
        vatcast("run", small, "--members", 8, "--set", "rtol=1e-4", "-o", cls.banded, "-q")
        cls.make_hostile()
        cls.living = cls.folder / "living.h5"
        vatcast("run", scenarios / "bran-seeded.conf", "--set", "lasts=6 days", "-o", cls.living, "-q")
        cls.shop = cls.folder / "shop.h5"
        cls.hostile_shop = cls.folder / "hostile-shop.h5"
        vatcast("workshop", scenarios / "workshop-class.conf", "--set", "rtol=1e-4", "--replications", "2", "--vats", "1",
                "--sizes", "15 L, 30 L", "-o", cls.shop, "-q")
        shutil.copy(cls.shop, cls.hostile_shop)
        with h5py.File(cls.hostile_shop, "r+") as file:
            file.attrs["title"] = HOSTILE_TITLE[:190]
            file["pieces"].attrs["kind_names"] = HOSTILE_NAME
            file["workshop"].attrs["story"] = f"Waiting\t\t{HOSTILE_NAME}\n{HOSTILE_NAME}\t\t{HOSTILE_TITLE}\nVat 1\t\t{RIGHT_TO_LEFT}\n"
        cls.pages = {}
        for name, results in {"small": [cls.small], "weeks": [cls.weeks], "hostile": [cls.hostile],
                              "several": [cls.weeks, cls.small, cls.hostile],
                              "pair": [cls.small, cls.hostile], "three": [cls.weeks] * 3, "living": [cls.living], "mixed": [cls.small, cls.living], "banded": [cls.banded],
                              "bands": [cls.banded, cls.small], "shop": [cls.shop],
                              "hostile-shop": [cls.hostile_shop]}.items():
            cls.pages[name] = cls.folder / (name + ".html")
            vatcast("report", *results, "-o", cls.pages[name], "-q")
        cls.browser = Browser()

    @classmethod
    def tearDownClass(cls):
        cls.browser.close()
        shutil.rmtree(cls.folder)

    @classmethod
    def make_hostile(cls):
        """A result whose every text is out to do harm; a file that was written to carries no seal, which is allowed."""
        shutil.copy(cls.small, cls.hostile)
        with h5py.File(cls.hostile, "r+") as file:
            file.attrs["title"] = HOSTILE_TITLE[:190]
            lines = len(file["events"].attrs["labels"].split("\n"))
            file["events"].attrs["labels"] = "\n".join([HOSTILE_NAME] * lines)
            file["pieces"].attrs["kind_names"] = HOSTILE_NAME
            file["provenance"].attrs["scenario_text"] = HOSTILE_TITLE * 3 + "\n<!-- -->"
            count = len(file["notes"]["time"])
            file["notes"].attrs["text"] = ("<i>note</i> " + RIGHT_TO_LEFT + "\n") * count
            if count:
                file["notes"]["kind"][...] = 1

    def open(self, name, width=1280, **features):
        self.browser.size(width, 900)
        self.browser.media("", **features)
        seconds = self.browser.open(self.pages[name])
        return seconds

    def output(self, series, run=0):
        return self.browser.run("return document.querySelector(`output[data-series=\"${arguments[0]}\"][data-run=\"${arguments[1]}\"]`)"
                                ".textContent", series, run)

    def drag_chart(self, name, start, end):
        left, top, width, height = self.browser.box("#chart-" + name)
        y = top + height * 0.4
        self.browser.mouse("mouseMoved", left + width * start, y)
        self.browser.mouse("mousePressed", left + width * start, y, button="left", clickCount=1)
        for i in range(1, 6):
            self.browser.mouse("mouseMoved", left + width * (start + (end - start) * i / 5), y, button="left", buttons=1)
        self.browser.mouse("mouseReleased", left + width * end, y, button="left", clickCount=1)
        self.browser.wait_a_frame()

    # ---- quiet, small, quick -------------------------------------------------------------------------------------

    def test_says_and_asks_nothing(self):
        for name in self.pages:
            self.open(name)
            self.assertEqual(self.browser.complaints(), [], name)
            own = self.pages[name].resolve().as_uri()
            asked = self.browser.requests()
            self.assertIn(own, asked)  # or nothing was watched
            self.assertEqual([url for url in asked if url != own], [], name)

    def test_six_weeks_are_small_and_open_fast(self):
        self.assertLess(self.pages["weeks"].stat().st_size, LARGEST)
        self.assertLess(self.pages["three"].stat().st_size, LARGEST)
        seconds = min(self.open("three") for _ in range(3))
        print(f"three runs of six weeks opened in {seconds:.2f} s")

    # ---- true to the file ----------------------------------------------------------------------------------------

    def check_readouts(self, names):
        """What is shown at the moment is what the file holds in the row of that time."""
        moment = self.browser.run("return timeOf(RUNS[0], moment.day)")
        with h5py.File(self.small, "r") as file:
            times = file["time"][...]
            row = int(abs(times - moment).argmin())
            self.assertLess(abs(times[row] - moment), 1.0)
            for name, factor in names.items():
                text = self.output(name)
                self.assertAlmostEqual(number(text), float(file[name][row]) * factor, delta=last_digit(text) * max(factor, 1), msg=name)
        return moment

    def test_cursor_reads_the_value_of_the_file(self):
        self.open("small")
        names = {"ph": 1, "temperature": 1, "leuco": 1, "hexose": 1, "orp": 1, "volume": 1, "film_cover": 100, "bed_depth": 1}
        moments = set()
        for chart in "ph", "warmth":
            for part in 0.3, 0.5, 0.71, 0.9:
                left, top, width, height = self.browser.box("#chart-" + chart)
                self.browser.mouse("mouseMoved", left + width * part, top + height * 0.5)
                self.browser.wait_a_frame()
                moments.add(self.check_readouts(names))
        self.assertGreaterEqual(len(moments), 4)
        jar = self.browser.run("return document.querySelector('.jar-box [data-fact=ph]').textContent")
        self.assertEqual(jar, self.output("ph"))

    def test_pieces_and_books_are_those_of_the_file(self):
        self.open("small")
        with h5py.File(self.small, "r") as file:
            pieces = file["pieces"]
            cards = self.browser.run("return [...document.querySelectorAll('.piece')].map((p) => [p.innerText,"
                                     "getComputedStyle(p.querySelector('.swatch')).backgroundColor])")
            self.assertEqual(len(cards), len(pieces["number"]))
            for row, (text, colour) in enumerate(cards):
                if pieces["dips"][row] > 0:
                    self.assertIn(f"{pieces['owf_washed'][row]:.2f} % owf", text)
                    shade = [round(float(pieces[c][row])) for c in ("red", "green", "blue")]
                    self.assertEqual([int(n) for n in re.findall(r"\d+", colour)[:3]], shade)
            dips = self.browser.run("const d = document.querySelector('.piece details'); d.open = true; return new Promise((done) =>"
                                    "setTimeout(() => done(d.querySelectorAll('tbody tr').length), 200))")
            self.assertEqual(dips, int(pieces["dips"][0]))
            amount = file["ledger/hexose/amount"][...]
            total = amount[(amount > 0) & (file["ledger/hexose/part"][...] != 2)].sum()
            words = self.browser.run("return document.querySelector('[data-book=hexose] figcaption').textContent")
            self.assertAlmostEqual(number(words), total, delta=last_digit(words))

    # ---- bands -----------------------------------------------------------------------------------------------------

    def ink_off_the_line(self, chart, field):
        """Opaqueness in the middle of a band of a chart, between its line and the upper bound, at the cursor's row."""
        return self.browser.run("""
            const chart = charts.find((c) => c.about.id === arguments[0]), graph = chart.graph;
            const run = RUNS[0], row = Math.floor(run.time.length * 0.6), series = run.series[arguments[1]];
            const between = 0.4 * series.values[row] + 0.6 * series.high[row];
            const canvas = chart.canvas.querySelector('canvas'), ratio = canvas.width / canvas.clientWidth;
            const x = graph.toDomXCoord(dayOf(run, run.time[row])), y = graph.toDomYCoord(between);
            return [...canvas.getContext('2d').getImageData(Math.round(x * ratio), Math.round(y * ratio), 1, 1).data]""", chart, field)

    def test_bands_are_drawn_and_read_out(self):
        for theme in "light", "dark":
            self.open("banded", prefers_color_scheme=theme)
            red, green, blue, opaque = self.ink_off_the_line("reduced", "reduced_share")
            self.assertTrue(10 < opaque < 160, f"{theme}: no band is drawn ({opaque})")
            line = self.browser.run("return charts.find((c) => c.about.id === 'reduced').graph.getColors()[0]")
            self.assertRegex(line, r"rgb|#")
        with h5py.File(self.banded, "r") as file:
            time = file["time"][...]
            for name, percent in ("ph", 1), ("reduced_share", 100), ("temperature", 1):
                day = self.browser.run("return timeOf(RUNS[0], moment.day)")
                row = self.browser.run("return RUNS[0].time[rowAt(RUNS[0].time, arguments[0])]", day)
                at = int(abs(time - row).argmin())
                words = self.output(name)
                low, high = re.search(r"\(([\u2212\d.,]+) to ([^)]*)\)", words).groups()
                self.assertAlmostEqual(number(low), percent * file[name + "_p05"][at], delta=last_digit(low))
                self.assertAlmostEqual(number(high), percent * file[name + "_p95"][at], delta=last_digit(high))
                self.assertAlmostEqual(number(words), percent * file[name][at], delta=last_digit(words))
        words = self.browser.run("return document.getElementById('chart-ph-words').textContent")
        self.assertRegex(words, r"Of 8 vats that this one may be, nine in ten end at [\d.]+ to [\d.]+ and lie farthest apart on day \d")
        self.assertIn("Likely", self.browser.run("return document.body.textContent"))
        self.assertEqual(self.browser.complaints(), [])

    def test_bands_stand_beside_a_run_without(self):
        self.open("bands", 360)
        self.assertLessEqual(self.browser.overflow(), 0)
        outputs = self.browser.run("return [...document.querySelectorAll('#chart-ph')].length && "
                                   "[...document.querySelectorAll('output[data-series=ph]')].map((o) => o.textContent)")
        self.assertIn(" to ", outputs[0])
        self.assertNotIn(" to ", outputs[1])
        self.assertEqual(self.browser.complaints(), [])

    def test_bands_change_units_with_their_line(self):
        self.open("banded")
        metric = [number(n) for n in re.search(r"\((\S+) to (\S+)", self.output("temperature")).groups()]
        self.browser.choose("#units", "kitchen")
        kitchen = [number(n) for n in re.search(r"\((\S+) to (\S+)", self.output("temperature")).groups()]
        for one, other in zip(metric, kitchen):
            self.assertAlmostEqual(other, one * 1.8 + 32, delta=0.15)
        self.browser.choose("#units", "metric")

    # ---- hands ---------------------------------------------------------------------------------------------------

    def test_zoom_by_mouse_and_by_buttons(self):
        self.open("small")
        whole = self.browser.run("return zoomed")
        self.drag_chart("ph", 0.4, 0.7)
        near = self.browser.run("return zoomed")
        self.assertLess(near[1] - near[0], 0.6 * (whole[1] - whole[0]))
        ranges = self.browser.run("return charts.map((c) => c.graph.xAxisRange())")
        for one in ranges:
            self.assertAlmostEqual(one[0], near[0], places=9)
            self.assertAlmostEqual(one[1], near[1], places=9)
        self.assertIn("Shown: day", self.browser.run("return document.getElementById('zoom-words').textContent"))
        self.browser.run("document.getElementById('zoom-whole').click()")
        self.assertEqual(self.browser.run("return zoomed"), whole)
        self.browser.run("document.getElementById('zoom-in').click()")
        self.assertLess(self.browser.run("return zoomed[1] - zoomed[0]"), 0.6 * (whole[1] - whole[0]))

    def test_keyboard(self):
        self.open("small")
        self.browser.run("document.getElementById('chart-ph').focus({preventScroll: true})")
        before = self.browser.run("return moment.day")
        self.browser.key("ArrowRight")
        self.browser.key("ArrowRight")
        after = self.browser.run("return moment.day")
        self.assertGreater(after, before)
        self.assertIn("pH of the liquor", self.browser.run("return document.getElementById('chart-ph').getAttribute('aria-valuetext')"))
        self.check_readouts({"ph": 1, "temperature": 1})
        whole = self.browser.run("return zoomed")
        self.browser.key("+", "+")
        self.assertNotEqual(self.browser.run("return zoomed"), whole)
        self.browser.key("0", "0")
        self.assertEqual(self.browser.run("return zoomed"), whole)
        self.browser.key("End")
        self.assertAlmostEqual(self.browser.run("return moment.day"), whole[1], places=6)
        self.browser.run("document.getElementById('moment').focus()")
        self.browser.key("PageDown")
        self.assertAlmostEqual(self.browser.run("return moment.day"), whole[1] - 1, places=2)
        reached = set()  # by the tabulator alone
        self.browser.run("document.activeElement.blur(); window.getSelection().removeAllRanges(); scrollTo(0, 0)")
        for _ in range(60):
            self.browser.command("Input.dispatchKeyEvent", type="rawKeyDown", key="Tab", windowsVirtualKeyCode=9, code="Tab")
            self.browser.command("Input.dispatchKeyEvent", type="keyUp", key="Tab", windowsVirtualKeyCode=9, code="Tab")
            reached.add(self.browser.run("return document.activeElement.id"))
        for name in "units", "theme", "moment", "chart-ph", "zoom-in":
            self.assertIn(name, reached)

    def test_units(self):
        self.open("small")
        metric = {name: number(self.output(name)) for name in ("temperature", "volume", "bed_depth", "ph")}
        ticks = self.browser.run("return charts.find((c) => c.about.id === 'warmth').graph.yAxisRange()")
        self.browser.choose("#units", "kitchen")
        self.assertTrue(self.output("temperature").endswith("°F"))
        self.assertTrue(self.output("volume").endswith("gal"))
        self.assertAlmostEqual(number(self.output("temperature")), metric["temperature"] * 1.8 + 32, delta=0.15)
        self.assertAlmostEqual(number(self.output("volume")), metric["volume"] / 3.785411784, delta=0.02)  # US liquid gallon, exact
        self.assertAlmostEqual(number(self.output("bed_depth")), metric["bed_depth"] / 2.54, delta=0.01)
        self.assertEqual(number(self.output("ph")), metric["ph"])
        self.assertGreater(self.browser.run("return charts.find((c) => c.about.id === 'warmth').graph.yAxisRange()[1]"), ticks[1] + 20)
        self.assertIn("°F", self.browser.run("return document.getElementById('chart-warmth-name').textContent"))
        words = self.browser.run("return document.getElementById('watch').textContent + document.getElementById('care').textContent")
        self.assertNotRegex(words, r"[\[\]|]|\d (C|g|kg|L)\b")
        self.browser.choose("#units", "metric")
        self.assertEqual(number(self.output("temperature")), metric["temperature"])

    def background(self):
        colour = self.browser.run("return getComputedStyle(document.documentElement).backgroundColor")
        return sum(int(n) for n in re.findall(r"\d+", colour)[:3]) / 3

    def test_light_and_dark(self):
        self.open("small", prefers_color_scheme="light")
        self.assertGreater(self.background(), 200)
        line = self.browser.run("return charts[0].graph.getColors()")
        self.browser.choose("#theme", "dark")
        self.assertLess(self.background(), 60)
        self.assertNotEqual(self.browser.run("return charts[0].graph.getColors()"), line)
        self.open("small", prefers_color_scheme="dark")
        self.assertLess(self.background(), 60)
        self.browser.choose("#theme", "light")
        self.assertGreater(self.background(), 200)

    def test_no_sideways_scroll(self):
        for name in "weeks", "hostile", "several", "shop", "hostile-shop":
            for width in (360, 320) if name == "hostile" else (360,):
                self.open(name, width)
                self.browser.run("for (const d of document.querySelectorAll('details')) d.open = true")
                self.browser.wait_a_frame()
                self.assertLessEqual(self.browser.overflow(), 0, f"{name} at {width} px")

    def test_print(self):
        self.open("small", prefers_color_scheme="dark")
        self.browser.run("document.querySelector('#theme').value = 'dark'; document.querySelector('#theme').dispatchEvent(new Event('change'))")
        for width, height in (8.27, 11.69), (8.5, 11):  # A4, Letter
            made = self.browser.command("Page.printToPDF", paperWidth=width, paperHeight=height, preferCSSPageSize=False)
            self.assertGreater(len(made["data"]), 50_000)
        self.assertEqual(self.browser.run("return document.querySelectorAll('img.print').length"), 0)  # cleared away again
        self.browser.run("window.dispatchEvent(new Event('beforeprint'))")
        self.browser.media("print", prefers_color_scheme="dark")
        self.browser.wait_a_frame()
        shown = self.browser.run("const seen = (q) => [...document.querySelectorAll(q)].some((e) => e.offsetParent !== null);"
                                 "return [seen('#switches'), seen('.bar'), seen('#moment'), seen('.chart img.print'), seen('.swatch')]")
        self.assertEqual(shown, [False, False, False, True, True])
        images = self.browser.run("return charts.map((c) => [...c.canvas.querySelectorAll('img')].map((i) => i.naturalWidth))")
        self.assertTrue(all(len(sizes) >= 1 and min(sizes) > 500 for sizes in images), images)
        drawn = self.browser.run("""const counts = charts.map((c) => Math.max(...[...c.canvas.querySelectorAll('img')].map((image) => {
            const copy = document.createElement('canvas'); copy.width = image.naturalWidth; copy.height = image.naturalHeight;
            const context = copy.getContext('2d'); context.drawImage(image, 0, 0);
            const data = context.getImageData(0, 0, copy.width, copy.height).data;
            let inked = 0; for (let i = 3; i < data.length; i += 4) inked += data[i] > 128; return inked; })));
            return Math.min(...counts)""")
        self.assertGreater(drawn, 500)
        ink = self.browser.run("return getComputedStyle(document.body).color")
        self.assertLess(max(int(n) for n in re.findall(r"\d+", ink)[:3]), 80)  # dark on white, whatever the screen has
        self.assertLessEqual(self.browser.run("return document.body.getBoundingClientRect().width"), 182 / 25.4 * 96 + 1)
        self.browser.media("")

    # ---- for all ---------------------------------------------------------------------------------------------------

    def test_accessibility(self):
        for name, theme, width in (("small", "light", 1280), ("small", "dark", 360), ("pair", "light", 1280),
                                   ("banded", "dark", 1280), ("shop", "light", 1280), ("shop", "dark", 360)):
            self.open(name, width, prefers_color_scheme=theme)
            self.browser.run("for (const d of document.querySelectorAll('details')) d.open = true")
            self.browser.wait_a_frame()
            self.browser.run(AXE)
            found = self.browser.driver.execute_async_script(
                "const done = arguments[0]; axe.run(document, {resultTypes: ['violations']}).then((r) => done(r.violations.map((v) =>"
                "[v.impact, v.id, v.nodes.slice(0, 3).map((n) => n.html.slice(0, 200))])), (e) => done([['critical', String(e), []]]))")
            serious = [one for one in found if one[0] in ("serious", "critical")]
            for one in found:
                print(f"axe, {name} {theme}:", *one)
            self.assertEqual(serious, [], name)

    def test_every_chart_has_words(self):
        self.open("several")
        missing = self.browser.run(
            "return [...document.querySelectorAll('figure')].filter((f) => !(f.querySelector('figcaption')?.textContent.length > 20)).length")
        self.assertEqual(missing, 0)
        self.assertGreater(self.browser.run("return document.querySelectorAll('figure').length"), 15)

    # ---- hostile -------------------------------------------------------------------------------------------------

    def test_hostile_text_is_text(self):
        self.open("hostile")
        self.browser.run("for (const d of document.querySelectorAll('details')) d.open = true")
        self.browser.wait_a_frame()
        self.assertIsNone(self.browser.run("return window.hacked"))
        self.assertEqual(self.browser.run("return document.title"), HOSTILE_TITLE[:190])
        self.assertEqual(self.browser.run("return document.getElementById('title').textContent"), HOSTILE_TITLE[:190])
        self.assertEqual(self.browser.run("return document.querySelectorAll('main b, main i, main img, main script, [onclick], [onerror]').length"), 0)
        self.assertIn("<b onclick=hacked>", self.browser.run("return document.getElementById('pieces').textContent"))
        self.assertIn(HOSTILE_TITLE, self.browser.run("return document.querySelector('pre').textContent"))
        self.assertEqual(self.browser.complaints(), [])

    # ---- a workshop ------------------------------------------------------------------------------------------------

    def test_day_of_a_workshop_is_that_of_the_file(self):
        self.open("shop")
        with h5py.File(self.shop, "r") as file:
            day, plans = file["workshop/day"], file["workshop/plans"]
            opens, closes = file["workshop"].attrs["opens"], file["workshop"].attrs["closes"]
            times = day["time"][...]
            seen = set()
            for part in 0.12, 0.3, 0.5, 0.7:
                left, top, width, height = self.browser.box("#chart-line")
                self.browser.mouse("mouseMoved", left + width * part, top + height * 0.5)
                self.browser.wait_a_frame()
                moment = self.browser.run("return timeOf(SHOP, moment.day)")
                row = int(abs(times - moment).argmin())
                for name in "waiting", "waiting_half", "waiting_nine", "soaking", "hanging", "people":
                    shown = self.browser.run(f"return document.querySelector('output[data-series={name}]').textContent")
                    self.assertAlmostEqual(number(shown), float(day[name][row]), delta=0.051, msg=name)
                seen.add(moment)
            self.assertGreaterEqual(len(seen), 3)
            first, last = self.browser.run("return zoomed.map((day) => timeOf(SHOP, day))")
            self.assertTrue(opens - 7200 <= first <= opens and closes <= last <= closes + 7200)  # the day, not the making
            vats = 1 + len(file["workshop/vats"])
            self.assertEqual(self.browser.run("return document.querySelectorAll('.ribbon').length"), vats)
            self.assertEqual(self.browser.run("return charts.find((c) => c.about.id === 'ph').lines.length"), vats)
            rows = self.browser.run("return [...document.querySelectorAll('#plans tbody tr')].map((r) => r.innerText)")
            self.assertEqual(len(rows), len(plans["vats"]))
            for text, wait, serves in zip(rows, plans["wait_nine"], plans["serves"]):
                self.assertIn(f"{int(wait / 60 + 0.5)} min", text)
                self.assertIn("met" if serves else "missed", text)
            cards = self.browser.run("return [...document.querySelectorAll('.piece')].map((p) => p.innerText)")
            self.assertEqual(len(cards), len(file["pieces/number"]))
            for row, text in enumerate(cards):
                self.assertIn(f"{file['pieces/owf_washed'][row]:.2f} % owf", text)
                self.assertIn(f"person {int(file['pieces/person'][row])}, vat {int(file['pieces/vat'][row])}", text)
            dips = self.browser.run("const d = document.querySelector('.piece details'); d.open = true; return new Promise((done) =>"
                                    "setTimeout(() => done(d.querySelectorAll('tbody tr').length), 200))")
            self.assertEqual(dips, int(file["pieces/dips"][0]))
            story = file["workshop"].attrs["story"]
        shown = self.browser.run("return document.getElementById('short').textContent + document.getElementById('plans').textContent"
                                 " + document.getElementById('watch').textContent + document.getElementById('care').textContent")
        for line in story.strip().split("\n"):
            for part in line.split("\t")[2].split("; "):
                self.assertIn(part[1:], shown)
        self.assertEqual(self.browser.run("return document.querySelectorAll('#verdict').length"), 0)
        missing = self.browser.run(
            "return [...document.querySelectorAll('figure')].filter((f) => !(f.querySelector('figcaption')?.textContent.length > 20)).length")
        self.assertEqual(missing, 0)

    def test_hostile_workshop_is_text(self):
        self.open("hostile-shop")
        self.browser.run("for (const d of document.querySelectorAll('details')) d.open = true")
        self.browser.wait_a_frame()
        self.assertIsNone(self.browser.run("return window.hacked"))
        self.assertEqual(self.browser.run("return document.querySelectorAll('main b, main i, main img, main script, [onclick], [onerror]').length"), 0)
        self.assertIn("<b onclick=hacked>", self.browser.run("return document.getElementById('short').textContent"))
        self.assertEqual(self.browser.complaints(), [])

    # ---- several -------------------------------------------------------------------------------------------------

    def test_several_runs_share_their_axes(self):
        self.open("several")
        self.assertEqual(self.browser.run("return charts.find((c) => c.about.id === 'ph').lines.length"), 3)
        said = self.browser.run("return [...document.querySelectorAll('#verdict li')].map((line) => line.innerText)")
        self.assertTrue(said[0].startswith("Ranking: most cloth at the shade: "), said)
        self.assertTrue(said[1].startswith("Why: "), said)
        self.assertEqual(self.browser.run("return document.querySelectorAll('#verdict thead th').length"), 4)
        with h5py.File(self.small, "r") as file:
            pieces = file["pieces"]
            dyed = pieces["dips"][...] > 0
            mean = (pieces["mass"][...] * pieces["owf_washed"][...])[dyed].sum() / pieces["mass"][...][dyed].sum()
        row = self.browser.run("return [...document.querySelectorAll('#verdict tbody tr')].find((r) => r.textContent.startsWith('Blue')).innerText")
        self.assertIn(f"{mean:.2f} % owf", row)
        dashes = self.browser.run("return new Set(charts[0].lines.map((l, k) => String(DASHES[k]))).size")
        self.assertEqual(dashes, 3)  # told apart without colour

    def test_live_vats_have_books_of_feed_and_alkali(self):
        self.open("living")
        kinds = "return [...document.querySelectorAll('#ledger .book')].map((book) => book.dataset.book)"
        self.assertEqual(self.browser.run(kinds), ["indigo", "feed", "alkali", "oxygen", "water"])
        with h5py.File(self.living, "r") as file:
            amounts = file["ledger/alkali/amount"][...]
            parts = file["ledger/alkali/part"][...]
        came = amounts[(amounts > 0) & (parts < 2)].sum()  # in or out, not left
        words = self.browser.run("return document.querySelector('[data-book=alkali] figcaption').innerText")
        self.assertRegex(words, rf"^{came:.3g}\sg of alkali, as soda came in")
        self.open("mixed")
        self.assertEqual(self.browser.run(kinds), ["indigo", "indigo", "hexose", "feed", "lime", "alkali"])
        rows = self.browser.run("return [...document.querySelectorAll('#verdict tbody tr')].map((r) => r.innerText)")
        for name in ("Sugar or feed in", "Lime or alkali in"):
            row = next(row for row in rows if row.startswith(name))
            self.assertNotIn("◂", row)  # soda and lime are not weighed against each other

    def test_several_runs_show_any_series(self):
        self.open("several")
        chosen = """const select = document.getElementById('chart-lime-series');
            select.value = '1'; select.dispatchEvent(new Event('change'));
            setMoment(WHOLE[0] + 3); renewReadouts();
            const chart = charts.find((c) => c.about.id === 'lime');
            return [chart.lines.map((l) => l.name), chart.outputs[0].textContent, chart.graph.getValue(0, 1),
                    document.getElementById('chart-lime-words').textContent]"""
        names, output, first, words = self.browser.run(chosen)
        self.assertEqual(names, ["chalk"] * 3)
        with h5py.File(self.weeks, "r") as file:
            chalk, time = file["chalk"][...], file["time"][...]
        self.assertAlmostEqual(first, chalk[0], places=3)
        start = self.browser.run("return timeOf(RUNS[0], WHOLE[0] + 3)")
        near = chalk[abs(time - start).argmin()]
        self.assertAlmostEqual(float(output.split()[0].replace(",", "")), near, delta=0.01 * max(abs(near), 1.0))
        self.assertIn("begins at", words)
        self.assertEqual(self.browser.complaints(), [])


if __name__ == "__main__":
    unittest.main()
