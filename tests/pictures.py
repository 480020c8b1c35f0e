"""`python -m tests.pictures` opens every page of the sample in a browser, checks how it stands, and keeps pictures of it.

Needs Playwright and a Chromium (CHROMIUM names it, else one on the path). A page that scrolls sideways, fails, draws an
empty chart, complains in the console or asks anything of another host stops it.
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode
from urllib.request import urlopen

from playwright.sync_api import Browser, Page, sync_playwright

import dashboard
from dashboard import sample

HERE = Path(dashboard.__file__).parent
PICTURES = HERE / "pictures"
NO_CHROMIUM = "no Chromium was found: install one (on Debian, apt install chromium) or let CHROMIUM name it"
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]
PAGES = {"this_week": "", "clients": "clients", "strength": "strength", "balance": "balance", "load": "load", "presentation": "presentation", "look_up": "look_up",
         "exercises": "exercises", "settings": "settings", "data": "data", "methods": "methods"}
ASKED = {"exercises": {"exercise": "barbell_bench_press"}}  # what a page is asked for beside the athlete, so that its picture stands on it
SIZES = {"wide": (1280, 900), "narrow": (375, 800)}
SHOWN = "Oskar"
TALLEST = 2600  # pixels of a page that a picture keeps
PATIENCE_S = 30
SETTLE_MS = 2500  # for charts to be drawn anew at another height
# How many marks each chart has. Charts are drawn as SVG; one drawn on a canvas has no marks to count.
MARKS = """[...document.querySelectorAll('[data-testid=stVegaLiteChart]')].map(
    chart => chart.querySelectorAll('svg .role-mark path, svg .role-mark line, svg .role-mark text').length)"""
CUT = """[...document.querySelectorAll('[data-testid=stPageLink] a *')].filter(part => part.scrollWidth > part.clientWidth + 1).map(part => part.innerText)"""
STANDS = """() => document.querySelector('[data-testid=stApp]')?.dataset.testScriptState === 'notRunning'
    && !document.querySelector('[data-stale=true], [data-testid=stSkeleton]')
    && [...document.querySelectorAll('[data-testid=stVegaLiteChart]')].every(chart => chart.querySelector('svg .role-mark'))"""


@dataclass
class Visit:
    """A page that is being looked at, and what it did meanwhile: requests to other hosts, errors in the console."""

    page: Page
    address: str
    elsewhere: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def open(self, path: str = "", **asked: str) -> None:
        """Go to a page of the dashboard and wait until it stands."""
        self.page.goto(f"{self.address}/{path}?{urlencode(asked)}")
        self.settle()

    def settle(self) -> None:
        """Wait until the page has run and each of its charts is drawn."""
        self.page.wait_for_selector("h1", timeout=PATIENCE_S * 1000)
        self.page.wait_for_function(STANDS, timeout=PATIENCE_S * 1000)


def main() -> None:
    program = chromium()
    if program is None:
        raise SystemExit(NO_CHROMIUM)
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder) / "sample.duckdb"
        sample.build(store)
        with served(store) as address, sync_playwright() as play:
            browser = play.chromium.launch(executable_path=program, args=FLAGS)
            for size, (width, height) in SIZES.items():
                for name, path in PAGES.items():
                    keep_picture(browser, address, path, width, height, PICTURES / f"{name}_{size}.png")
            browser.close()


def keep_picture(browser: Browser, address: str, path: str, width: int, height: int, file: Path) -> None:
    """Open one page at one size, check it, and write its picture."""
    seen = visit(browser, address, width, height)
    seen.open(path, athlete=SHOWN, **ASKED.get(path, {}))
    for trouble in troubles(seen):
        raise SystemExit(f"{path or 'this_week'} at {width} pixels: {trouble}")
    tall = seen.page.evaluate("document.querySelector('[data-testid=stMainBlockContainer]').scrollHeight")
    seen.page.set_viewport_size({"width": width, "height": min(tall, TALLEST)})
    seen.page.wait_for_timeout(SETTLE_MS)
    seen.page.screenshot(path=str(file))
    seen.page.close()
    print(file.relative_to(HERE.parent))


def chromium() -> str | None:
    """The Chromium to use: CHROMIUM, else one on the path; None where there is none."""
    return shutil.which(os.environ.get("CHROMIUM", "")) or shutil.which("chromium") or shutil.which("chromium-browser")


def visit(browser: Browser, address: str, width: int = 1280, height: int = 900, locale: str = "en-US") -> Visit:
    """A fresh visitor, watched. locale: of the browser."""
    seen = Visit(browser.new_page(viewport={"width": width, "height": height}, color_scheme="light", locale=locale), address)
    seen.page.on("request", lambda request: seen.elsewhere.append(request.url) if _is_elsewhere(request.url, address) else None)
    seen.page.on("console", lambda message: seen.errors.append(message.text) if message.type == "error" else None)
    seen.page.on("pageerror", lambda error: seen.errors.append(str(error)))
    return seen


def troubles(seen: Visit) -> Iterator[str]:
    """What is wrong with an open page: sideways scrolling, a failure, an empty chart, a link that is cut off, a request to another host."""
    for where in ("document.documentElement", "document.querySelector('[data-testid=stMain]')"):
        wider = seen.page.evaluate(f"{where}.scrollWidth - {where}.clientWidth")
        if wider > 0:
            yield f"it is {wider} pixels too wide"
    if seen.page.locator("[data-testid=stException], [data-testid=stAlertContentError]").count():
        yield "it shows an error"
    yield from (f"its chart {i} is empty" for i, marks in enumerate(seen.page.evaluate(MARKS), 1) if not marks)
    yield from (f'its link "{words}" is cut off' for words in seen.page.evaluate(CUT))
    yield from (f"it asks for {url}" for url in seen.elsewhere)
    yield from (f"the console says {text}" for text in seen.errors)


@contextmanager
def served(store: Path, **environment: str) -> Iterator[str]:
    """The dashboard on `store`, as its address."""
    with served_as(store, **environment) as (address, _):
        yield address


@contextmanager
def served_as(store: Path, **environment: str) -> Iterator[tuple[str, int]]:
    """The dashboard on `store`, as its address and the number of its process."""
    port = free_port()
    command = [sys.executable, "-m", "streamlit", "run", str(HERE / "asgi.py"), "--server.port", str(port)]
    with _process(command, port, EVENSET_STORE=str(store), **environment) as server:
        yield server


def free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


@contextmanager
def running(command: list[str], port: int, **environment: str) -> Iterator[str]:
    """A command that serves the dashboard on `port`, as its address; ended on leaving."""
    with _process(command, port, **environment) as (address, _):
        yield address


@contextmanager
def _process(command: list[str], port: int, **environment: str) -> Iterator[tuple[str, int]]:
    with subprocess.Popen(command, env=os.environ | environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as server:
        try:
            address = f"http://127.0.0.1:{port}"
            _wait_for(address)
            yield address, server.pid
        finally:
            server.terminate()


def _wait_for(address: str) -> None:
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        try:
            urlopen(f"{address}/_stcore/health", timeout=1).close()
            return
        except OSError:
            time.sleep(0.1)
    raise SystemExit("The dashboard did not start.")


def _is_elsewhere(url: str, address: str) -> bool:
    return not url.startswith((address, address.replace("http", "ws", 1), "data:", "blob:"))


if __name__ == "__main__":
    main()
