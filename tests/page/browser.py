"""A headless Chromium for the tests of the page: no network, a profile of its own, every request and message kept."""
import json
import pathlib
import shutil
import sys
import tempfile

CHROMIUM = shutil.which("chromium")
DRIVER = shutil.which("chromedriver")
try:
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service
except ImportError:
    webdriver = None

if webdriver is None or CHROMIUM is None or DRIVER is None:
    print("skipped: chromium, chromium-driver or python3-selenium is missing")
    sys.exit(77)

FLAGS = """--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking
--disable-component-update --disable-sync --disable-dev-shm-usage --hide-scrollbars""".split()


class Browser:
    def __init__(self):
        self.profile = tempfile.mkdtemp(prefix="vatcast-page-")
        options = webdriver.ChromeOptions()
        options.binary_location = CHROMIUM
        for flag in FLAGS + ["--user-data-dir=" + self.profile]:
            options.add_argument(flag)
        options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
        self.driver = webdriver.Chrome(service=Service(DRIVER), options=options)
        self.driver.set_script_timeout(120)
        self.driver.set_page_load_timeout(60)
        self.size(1280, 900)

    def close(self):
        self.driver.quit()
        shutil.rmtree(self.profile, ignore_errors=True)

    def size(self, width, height):
        self.command("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)

    def media(self, kind="", **features):
        self.command("Emulation.setEmulatedMedia", media=kind,
                     features=[{"name": name.replace("_", "-"), "value": value} for name, value in features.items()])

    def command(self, name, **parameters):
        return self.driver.execute_cdp_cmd(name, parameters)

    def run(self, script, *arguments):
        return self.driver.execute_script(script, *arguments)

    def wait_a_frame(self):
        self.driver.execute_async_script("const done = arguments[0];"
                                         "setTimeout(() => requestAnimationFrame(() => setTimeout(done, 0)), 150)")

    def open(self, path):
        """Opens a page; returns the seconds it took until it was drawn."""
        self.driver.get_log("browser")
        self.driver.get_log("performance")
        self.driver.get(pathlib.Path(path).resolve().as_uri())
        self.wait_a_frame()
        assert self.run("return document.documentElement.dataset.ready") == "yes", "the page's script did not get to its end"
        return self.run("const n = performance.getEntriesByType('navigation')[0]; return n.loadEventEnd / 1000")

    def complaints(self):
        return [entry["message"] for entry in self.driver.get_log("browser")]

    def requests(self):
        """Addresses asked for since the last open, but for what the page carries itself."""
        asked = []
        for entry in self.driver.get_log("performance"):
            message = json.loads(entry["message"])["message"]
            if message["method"] in ("Network.requestWillBeSent", "Network.webSocketCreated"):
                url = message["params"].get("request", message["params"])["url"]
                if not url.startswith("data:"):
                    asked.append(url)
        return asked

    def mouse(self, kind, x, y, **more):
        self.command("Input.dispatchMouseEvent", type=kind, x=x, y=y, **more)

    def box(self, selector):
        """Left, top, width and height of an element, brought into view."""
        return self.run("const e = document.querySelector(arguments[0]);"
                        "e.scrollIntoView({block: 'center', behavior: 'instant'});"
                        "const b = e.getBoundingClientRect(); return [b.left, b.top, b.width, b.height]", selector)

    def key(self, name, text=None):
        self.command("Input.dispatchKeyEvent", type="keyDown", key=name, **({"text": text} if text else {}))
        self.command("Input.dispatchKeyEvent", type="keyUp", key=name)

    def choose(self, selector, value):
        self.run("const e = document.querySelector(arguments[0]); e.value = arguments[1];"
                 "e.dispatchEvent(new Event('change', {bubbles: true}))", selector, value)
        self.wait_a_frame()

    def overflow(self):
        """Pixels by which the page is wider than the window."""
        return self.run("return document.documentElement.scrollWidth - document.documentElement.clientWidth")
