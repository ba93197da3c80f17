"""The report page in a browser without a window: what it shows, what it asks for, and who can use it.

    browse.py STEELYARD AXE      AXE: axe.min.js, rules of accessibility (WCAG) to check the page by, or a name where there is none

Prints a line "ok NAME" or "FAILED NAME: why" a check, and "skipped NAME: why" of what cannot be run here. The numbers that a page must
show are worked out by the command, each variant of a study from a car of its own (cases.lua).
"""
import base64
import json
import os
import shutil
import subprocess
import sys
import tempfile
import traceback

from selenium import webdriver
from selenium.webdriver.chrome.options import Options
from selenium.webdriver.chrome.service import Service
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

STEELYARD, AXE = sys.argv[1:3]
TOP = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]
WIDTHS, THEMES = (390, 1280), ("light", "dark")
failed = 0


def check(name, good, why=""):
    global failed
    failed += not good
    print(f"ok {name}" if good else f"FAILED {name}: {why}", flush=True)


def program(*names):
    for name in names:
        if shutil.which(name):
            return shutil.which(name)
    return None


class Browser:
    def __init__(self, profile):
        options = Options()
        for flag in FLAGS + ["--user-data-dir=" + profile]:
            options.add_argument(flag)
        options.binary_location = program("chromium", "chromium-browser", "google-chrome")
        options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
        self.driver = webdriver.Chrome(options=options, service=Service(program("chromedriver")))
        self.driver.set_script_timeout(60)
        self.tell = self.driver.execute_cdp_cmd
        self.ask = self.driver.execute_script

    def open(self, path, width, theme):
        self.tell("Emulation.setDeviceMetricsOverride", {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": False})
        self.tell("Emulation.setEmulatedMedia", {"features": [{"name": "prefers-color-scheme", "value": theme}]})
        self.driver.get_log("performance")
        self.driver.get_log("browser")
        self.url = "file://" + path
        self.driver.get(self.url)

    def requests(self):
        urls = []
        for entry in self.driver.get_log("performance"):
            message = json.loads(entry["message"])["message"]
            if message["method"] == "Network.requestWillBeSent":
                urls.append(message["params"]["request"]["url"])
        return [url for url in urls if url.split("#")[0] != self.url and not url.startswith("data:")]

    def complaints(self):
        return [entry["message"] for entry in self.driver.get_log("browser")]

    def press(self, *keys):
        actions = ActionChains(self.driver)
        for key in keys:
            actions.send_keys(key)
        actions.perform()


def words(shown):
    """As print sets what the command prints: 41.68 +- 0.30"""
    return shown.replace(" +- ", "\u00a0±\u00a0").replace("-", "\u2212")


# ---- every page, both widths and themes ------------------------------------------------------------------------------------------

def axe_finds(b, within=None):
    """Rules that the page breaks, with the first place of each."""
    found = b.driver.execute_async_script(
        "const done = arguments[arguments.length - 1];"
        "axe.run(arguments[0] || document, {resultTypes: ['violations']}).then((r) => done(r.violations.map((v) =>"
        " v.id + ': ' + v.nodes.length + ' such as ' + v.nodes[0].html.slice(0, 160))), (e) => done([String(e)]));", within)
    return found


def check_page(b, case, path, width, theme, axe):
    name = f"{case['name']} {width} px {theme}"
    b.open(path, width, theme)
    check(f"{name}: all views are made", b.ask("return document.documentElement.dataset.ready") == "yes"
          and b.ask("return [...document.querySelectorAll('main > section')].every((s) =>"
                    " s.innerText.length > s.querySelector('h2').innerText.length + 20)"))
    slips = b.ask("return document.querySelector('main').textContent.match(/.{0,30}(\\[object|undefined|NaN).{0,30}/)")
    check(f"{name}: words and numbers alone", slips is None, slips)
    reach = b.ask("const d = document.documentElement; return [d.scrollWidth, d.clientWidth]")
    check(f"{name}: the page does not move sideways", reach[0] <= reach[1], reach)
    for size in (600, 1600) if width == 1280 and theme == "light" else ():
        b.tell("Emulation.setDeviceMetricsOverride", {"width": size, "height": 900, "deviceScaleFactor": 1, "mobile": False})
        reach = b.ask("const d = document.documentElement; return [d.scrollWidth, d.clientWidth]")
        check(f"{case['name']} {size} px: the page does not move sideways", reach[0] <= reach[1], reach)
    if axe:
        b.ask(axe)
        found = axe_finds(b)
        check(f"{name}: accessible", found == [], found)
        b.ask("const n = document.querySelector('button.n'); if (n) n.click();")
        found = axe_finds(b, b.ask("return document.querySelector('dialog[open]')"))
        check(f"{name}: accessible with a sheet open", found == [], found)
    check(f"{name}: no complaint of the browser", b.complaints() == [] if not axe else
          [c for c in b.complaints() if "axe" not in c] == [], "console")
    asked = b.requests()
    check(f"{name}: asks for nothing but itself", asked == [], asked)


# ---- numbers ---------------------------------------------------------------------------------------------------------------------

def shown_numbers(b):
    """Words of every number that opens a sheet, by the quantity it says it is, of the statement."""
    return b.ask("""const found = {};
        for (const n of document.querySelectorAll('#statement button.n')) {
          const label = n.getAttribute('aria-label').replace(/^.*?, /, '').replace(/: what it rests on$/, '');
          (found[label] = found[label] || []).push(n.textContent);
        }
        return found;""")


def check_numbers(b, case, path):
    b.open(path, 1280, "light")
    shown = {text for list_of in shown_numbers(b).values() for text in list_of}
    missing = {q: words(p) for q, p in case["printed"].items() if words(p) not in shown}
    check(f"{case['name']}: {len(case['printed'])} numbers as the command prints them", len(case["printed"]) > 5 and not missing, missing)
    for place in case.get("positions") or []:
        b.ask("""const sliders = document.querySelectorAll('.study input[type=range]');
            arguments[0].forEach((k, j) => { sliders[j].value = k; sliders[j].dispatchEvent(new Event('input')); });""", place["position"])
        got = b.ask("""return Object.fromEntries([...document.querySelectorAll('.study tr[data-quantity]')].map((tr) =>
            [tr.dataset.quantity, tr.querySelector('button.n').textContent]))""")
        want = {q: words(p) for q, p in place["words"].items()}
        check(f"{case['name']}: the variant at {place['position']} is its own car's", got == want, (got, want))


def check_rounding(b, path, numbers):
    """The page's own function, out of its file: numbers round as the command rounds them, ties to even."""
    b.open(path, 1280, "light")
    with open(os.path.join(TOP, "lua/steelyard/report/page/numbers.js"), encoding="utf-8") as f:
        got = b.ask(f.read() + "; return arguments[0].map(([x, decimals]) => fixed(x, decimals));", numbers)
    wrong = [(n, g) for n, g in zip(numbers, got) if g != n[2].replace("-", "\u2212")]
    check(f"{len(numbers)} numbers round as the command rounds them", len(numbers) == 400 and not wrong, wrong[:5])


def check_shares(b, path):
    """Of each number that has shares: they come to 100 %."""
    b.open(path, 1280, "light")
    sums = b.ask("""return [...document.querySelectorAll('#rests table')].map((t) => {
        const rows = [...t.tBodies[0].rows].slice(0, -1);
        return rows.reduce((s, r) => s + Number(r.cells[1].textContent), 0); })""")
    # five or six shares, each rounded to 0.1
    check("shares come to 100 %", len(sums) >= 4 and all(abs(s - 100) <= 0.3 + 1e-9 for s in sums), sums)


# ---- by keyboard ------------------------------------------------------------------------------------------------------------------

def tree_words(b):
    """The accessibility tree in its order: (role, name)."""
    nodes = b.tell("Accessibility.getFullAXTree", {})["nodes"]
    return [(n.get("role", {}).get("value"), n.get("name", {}).get("value")) for n in nodes if not n.get("ignored")]


def tab_to(b, script, most=400):
    for _ in range(most):
        b.press(Keys.TAB)
        if b.ask("const e = document.activeElement; return " + script):
            return True
    return False


def number_in_tree(tree, label):
    """The name of the button whose name says that it is a number of that quantity, the last one: that of the study."""
    found = [name for role, name in tree if role == "button" and name and name.endswith(f", {label}: what it rests on")]
    return found[-1] if found else None


def check_keyboard(b, path):
    b.open(path, 1280, "light")
    b.press(Keys.TAB)
    check("the first stop is the way past the contents", b.ask("return document.activeElement.className") == "skip")
    check("tab comes to a number", tab_to(b, "e.matches('button.n')"))
    b.press(Keys.ENTER)
    check("Enter opens what it rests on", b.ask("return document.querySelector('dialog').open")
          and "of the variance" in b.ask("return document.querySelector('dialog').innerText"))
    b.press(Keys.ESCAPE)
    check("Escape closes it, back on the number", b.ask("return !document.querySelector('dialog').open && document.activeElement.matches('button.n')"))
    check("tab comes to a slider", tab_to(b, "e.matches('input[type=range]')"))
    before = number_in_tree(tree_words(b), "front")
    b.press(Keys.ARROW_RIGHT, Keys.ARROW_RIGHT)
    tree = tree_words(b)
    after = number_in_tree(tree, "front")
    sliders = b.ask("return [...document.querySelectorAll('.study input')].map((e) => e.getAttribute('aria-valuetext'))")
    shown = b.ask("return document.querySelector('.study tr[data-quantity=front_share] button.n').textContent")
    check("arrows change a slider, and the accessibility tree says the number", before and after and before != after
          and after.startswith(shown), (before, after, shown))
    check("the slider says its value in words", sliders == ["50 back", "80 kg"] and sum(role == "slider" for role, _ in tree) == 2, sliders)


def check_table(b, path, case):
    b.open(path, 1280, "light")
    b.ask("document.querySelectorAll('#ledger thead button')[1].click(); document.querySelectorAll('#ledger thead button')[1].click();")
    masses = b.ask("return [...document.querySelectorAll('#ledger tbody tr')].map((r) => r.cells[1].textContent)")
    numbers = [float(m.replace("\u2212", "-")) for m in masses if m not in ("", "unknown")]
    check("the ledger sorts by mass, falling", len(numbers) > 20 and numbers == sorted(numbers, reverse=True), numbers[:9])
    check("and says so", b.ask("return document.querySelectorAll('#ledger th')[1].getAttribute('aria-sort')") == "descending")
    b.ask("document.querySelectorAll('#ledger thead button')[1].click()")
    b.tell("Browser.grantPermissions", {"permissions": ["clipboardReadWrite", "clipboardSanitizedWrite"]})
    b.driver.execute_async_script("""const done = arguments[0];
        document.querySelector('#ledger .tools button').click(); setTimeout(done, 300);""")
    text = b.driver.execute_async_script("const d = arguments[0]; navigator.clipboard.readText().then(d, (e) => d(String(e)));")
    lines = [line.split("\t") for line in text.rstrip("\n").split("\n")]
    check("the ledger goes to the clipboard, a line a row, as many cells in each", len(lines) == case["lines"] + 2
          and len({len(line) for line in lines}) == 1 and lines[0][0] == "part", (len(lines), case["lines"], lines[:2]))


def check_hostile(b, path, names):
    b.open(path, 1280, "light")
    shown = b.ask("return [...document.querySelectorAll('#ledger tbody th bdi')].map((n) => n.textContent)")
    check("names are shown letter by letter", all(name in shown for name in names), [n for n in names if n not in shown])
    check("and none of them became a part of the page", b.ask("return document.querySelectorAll('img').length === 0 && !window.failed"))
    text = b.driver.execute_async_script("""const done = arguments[0];
        document.querySelector('#ledger .tools button').click(); setTimeout(() => navigator.clipboard.readText().then(done, done), 300);""")
    check("a name that a spreadsheet would work out goes there as text", "\n'=1+1\t" in text, text[:400])


def check_paper(b, path, folder):
    b.open(path, 1280, "light")
    made = base64.b64decode(b.tell("Page.printToPDF", {"preferCSSPageSize": True})["data"])
    name = os.path.join(folder, "page.pdf")
    with open(name, "wb") as f:
        f.write(made)
    if not program("pdftotext"):
        print("skipped what is on paper: pdftotext is not installed")
        return
    text = subprocess.run([program("pdftotext"), "-layout", name, "-"], check=True, capture_output=True, text=True).stdout
    headings = b.ask("return [...document.querySelectorAll('main h2')].map((h) => h.textContent)")
    check("paper has every section", all(h in text for h in headings), headings)
    check("and the headings of the ledger on each of its pages", text.count("carried") >= 3, text.count("carried"))
    size = subprocess.run(["pdfinfo", name], check=True, capture_output=True, text=True).stdout
    check("A4", "A4" in size, size)


def main():
    axe = ""
    if os.path.exists(AXE):
        with open(AXE, encoding="utf-8") as f:
            axe = f.read()
    else:
        print("skipped accessibility: axe-core is not here, no npm registry was reached")
    folder = tempfile.mkdtemp(dir=os.path.join(TOP, "build"))
    browser = None
    try:
        subprocess.run([STEELYARD, os.path.join(TOP, "tests/page/cases.lua"), folder], check=True, cwd=TOP)
        with open(os.path.join(folder, "cases.json"), encoding="utf-8") as f:
            made = json.load(f)
        cases = {case["name"]: case for case in made["cases"]}
        paths = {name: os.path.join(folder, name + ".html") for name in cases}
        browser = Browser(os.path.join(folder, "profile"))
        for name, case in cases.items():
            for width in WIDTHS:
                for theme in THEMES:
                    if name in ("twayblade", "hostile") or (width == 390) == (theme == "dark"):
                        check_page(browser, case, paths[name], width, theme, axe)
            check_numbers(browser, case, paths[name])
        check_rounding(browser, paths["hostile"], made["rounded"])
        check_shares(browser, paths["twayblade"])
        check_keyboard(browser, paths["twayblade"])
        check_table(browser, paths["twayblade"], cases["twayblade"])
        check_hostile(browser, paths["hostile"], made["names"])
        check_paper(browser, paths["twayblade"], folder)
    except Exception:
        traceback.print_exc()
        check("the browser runs to the end", False, "see above")
    finally:
        if browser:
            browser.driver.quit()
        shutil.rmtree(folder, ignore_errors=True)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
