"""Pages against a bare one-chart page, in headless Chromium: from a click to the last chart drawn; and what fifty visits leave in memory.

The bare page (tests/bare_page.py) holds a choice and one chart with as many marks as the page has, from a frame in memory. Both are served and clicked in
turn on the same machine; a figure is the median of ratios of neighbouring clicks. The time of a click is the browser's own: from the click to the last
change inside any chart, once the page has stood still.
"""

from __future__ import annotations

import shutil
import statistics
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from tests import page_store, pictures

CLICKS, ROUNDS, VISITS = 7, 3, 50
QUIET_MS = 400  # without a change, the page stands
PATIENCE_MS = 60_000
CHARTED = {"This week": "", "Strength": "strength", "Balance": "balance", "Load": "load"}
# When the last click was, and when anything inside a chart changed last.
WATCH = """
window.clicked = 0; window.drawn = 0; window.moved = 0;
addEventListener('click', () => { window.clicked = performance.now() }, true);
const chart = '[data-testid=stVegaLiteChart]';
new MutationObserver(changes => {
    window.moved = performance.now();
    for (const {target, addedNodes} of changes)
        if ((target.closest && target.closest(chart)) || [...addedNodes].some(node => node.querySelector && (node.matches(chart) || node.querySelector(chart))))
            window.drawn = performance.now();
}).observe(document, {subtree: true, childList: true, attributes: true, characterData: true});
"""
STANDS = f"""() => ({pictures.STANDS})() && window.drawn > window.clicked && performance.now() - window.moved > {QUIET_MS}"""


@dataclass
class Tab:
    """A page that is clicked. names: of the athletes that its choice holds and that are clicked in turn."""

    page: Page
    address: str

    def open(self, path: str = "", query: str = "") -> None:
        self.page.goto(f"{self.address}/{path}{query}")
        self.page.wait_for_function(STANDS, timeout=PATIENCE_MS)

    def timed(self, click: Callable[[], None]) -> float:
        """Milliseconds from the click to the last change in a chart."""
        self.page.bring_to_front()
        click()
        self.page.wait_for_function(STANDS, timeout=PATIENCE_MS)
        return self.page.evaluate("window.drawn - window.clicked")

    def marks(self) -> int:
        return sum(self.page.evaluate(pictures.MARKS))

    def pick(self, name: str) -> Callable[[], None]:
        """A click on another athlete: the list is opened and searched before the time runs."""
        box = self.page.get_by_role("combobox", name="Athlete", exact=True)
        box.click()
        self.page.keyboard.type(name)
        wanted = self.page.get_by_role("option", name=name, exact=True)
        wanted.wait_for()
        return wanted.click

    def go(self, label: str) -> Callable[[], None]:
        return self.page.get_by_role("link", name=label, exact=True).first.click

    def press(self, label: str) -> Callable[[], None]:
        return self.page.get_by_role("button", name=label, exact=True).click


@contextmanager
def browsing() -> Iterator[Browser]:
    program = pictures.chromium()
    if program is None:
        raise SystemExit(pictures.NO_CHROMIUM)
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=program, args=pictures.FLAGS)
        yield browser
        browser.close()


def tab(browser: Browser, address: str) -> Tab:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.add_init_script(WATCH)
    return Tab(page, address)


@contextmanager
def bare() -> Iterator[str]:
    port = pictures.free_port()
    program = Path(__file__).with_name("bare_page.py")
    command = [sys.executable, "-m", "streamlit", "run", str(program), "--server.port", str(port), "--server.headless", "true", "--server.fileWatcherType", "none",
               "--browser.gatherUsageStats", "false"]
    with pictures.running(command, port) as address:
        yield address


def clicks(browser: Browser, ours: str, plain: str, kind: str, path: str) -> tuple[list[float], list[float]]:
    """Times of clicks of one kind (athlete, week or page) on one page, and of clicks on the bare page between them."""
    mine, other = tab(browser, ours), tab(browser, plain)
    mine.open(path, "?athlete=Athlete 0")
    other.open("", f"?marks={mine.marks()}")
    names = [f"Athlete {n}" for n in range(page_store.ATHLETES)]
    label = next(label for label, one in CHARTED.items() if one == path)
    elsewhere = next(label for label, one in CHARTED.items() if one != path)
    found = []
    for n in range(CLICKS + 1):
        name = names[(n + 1) % len(names)]
        if kind == "athlete":
            own = mine.timed(mine.pick(name))
        elif kind == "week":
            own = mine.timed(mine.press("Earlier"))
        else:
            mine.timed(mine.go(elsewhere))
            own = mine.timed(mine.go(label))
        found.append((own, other.timed(other.pick(name))))
    mine.page.close()
    other.page.close()
    # The first click of each finds nothing warm.
    return [own for own, _ in found[1:]], [theirs for _, theirs in found[1:]]


def told(what: str, ours: list[float], theirs: list[float]) -> None:
    ratios = [a / b for a, b in zip(ours, theirs, strict=True)]
    print(f"{what}: time {statistics.median(ratios):.2f} ({statistics.median(ours):.0f} ms, {statistics.median(theirs):.0f} ms)", flush=True)


def against_bare(kind: str) -> Callable[[Path, str], None]:
    def pair(folder: Path, name: str) -> None:
        store = made(folder)
        with browsing() as browser, pictures.served(store) as ours, bare() as plain:
            for label, path in CHARTED.items():
                told(f"{name}, {label}: a click on {'its name' if kind == 'page' else kind} to the last chart / the same on a bare page of as many marks",
                     *clicks(browser, ours, plain, kind, path))

    return pair


def at_ten_million(folder: Path, name: str) -> None:
    """The same clicks on the same athletes, among 500 with ten million sets."""
    store, large = made(folder), folder / "pages_large.duckdb"
    if not large.exists():
        shutil.copy(store, large)
        page_store.grown(large, 500)
    with browsing() as browser, pictures.served(large) as ours, pictures.served(store) as few:
        for kind in ("athlete", "week"):
            for label, path in CHARTED.items():
                told(f"{name}, {label}: a click on {kind}, among 500 athletes with 10,000,000 sets / among {page_store.ATHLETES} with 100,000",
                     *_two(browser, ours, few, kind, path))


def _two(browser: Browser, ours: str, few: str, kind: str, path: str) -> tuple[list[float], list[float]]:
    tabs = [tab(browser, ours), tab(browser, few)]
    for one in tabs:
        one.open(path, "?athlete=Athlete 0")
    found = []
    for n in range(CLICKS + 1):
        name = f"Athlete {(n + 1) % page_store.ATHLETES}"
        found.append([one.timed(one.pick(name) if kind == "athlete" else one.press("Earlier")) for one in tabs])
    for one in tabs:
        one.page.close()
    return [a for a, _ in found[1:]], [b for _, b in found[1:]]


def fifty_sessions(folder: Path, name: str) -> None:
    """Memory of the server after 50 visits have been opened and closed, against before them."""
    with ExitStack() as stack:
        browser = stack.enter_context(browsing())
        address, server = stack.enter_context(pictures.served_as(made(folder)))
        grown_by = []
        for _ in range(ROUNDS + 1):
            _visits(browser, address, VISITS)
            grown_by.append(_memory(server))
        told_ = [after / before for before, after in zip(grown_by, grown_by[1:], strict=False)]
        print(f"{name}: memory after {VISITS} visits opened and closed / before: {statistics.median(told_):.3f} "
              f"({', '.join(f'{kb / 1024:.0f}' for kb in grown_by)} MB after each {VISITS})", flush=True)


def _visits(browser: Browser, address: str, count: int) -> None:
    paths = list(CHARTED.values())
    for n in range(count):
        one = tab(browser, address)
        one.open(paths[n % len(paths)], f"?athlete=Athlete {n % page_store.ATHLETES}")
        one.page.close()


def _memory(process: int) -> int:
    """Resident memory of a process in kB."""
    text = Path(f"/proc/{process}/status").read_text()
    return int(next(line for line in text.splitlines() if line.startswith("VmRSS")).split()[1])


def made(folder: Path) -> Path:
    """The small store, made once a run of the benchmark."""
    store = folder / "pages.duckdb"
    return store if store.exists() else page_store.small(store)


PAIRS: dict[str, Callable[[Path, str], None]] = {
    "page_athlete": against_bare("athlete"), "page_week": against_bare("week"), "page_open": against_bare("page"), "page_10m": at_ten_million,
    "sessions_50": fifty_sessions}
