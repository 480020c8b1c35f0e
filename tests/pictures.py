"""`python -m tests.pictures` opens every page of the sample in a browser, checks how it stands, and keeps pictures of it.

Needs Playwright and a Chromium (CHROMIUM names it, /usr/bin/chromium by default). A page that scrolls sideways, fails,
or asks anything of another server stops it.
"""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.request import urlopen

from playwright.sync_api import Browser, Page, sync_playwright

import dashboard
from dashboard import sample

HERE = Path(dashboard.__file__).parent
PICTURES = HERE / "pictures"
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync"]
PAGES = {"this_week": "", "strength": "strength", "balance": "balance", "load": "load", "data": "data"}
SIZES = {"wide": (1280, 900), "narrow": (375, 800)}
SHOWN = "athlete=Oskar"
TALLEST = 2600  # pixels of a page that a picture keeps
PATIENCE_S = 30
SETTLE_MS = 2500


def main() -> None:
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder) / "sample.duckdb"
        sample.build(store)
        with served(store) as address, sync_playwright() as play:
            browser = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
            for size, (width, height) in SIZES.items():
                for name, path in PAGES.items():
                    keep_picture(browser, address, path, width, height, PICTURES / f"{name}_{size}.png")
            browser.close()


def keep_picture(browser: Browser, address: str, path: str, width: int, height: int, file: Path) -> None:
    """Open one page at one size, check it, and write its picture."""
    page = browser.new_page(viewport={"width": width, "height": height}, color_scheme="light")
    elsewhere: list[str] = []
    page.on("request", lambda request: elsewhere.append(request.url) if _is_elsewhere(request.url, address) else None)
    page.goto(f"{address}/{path}?{SHOWN}")
    page.wait_for_selector("h1", timeout=PATIENCE_S * 1000)
    page.wait_for_timeout(SETTLE_MS)
    for trouble in troubles(page, elsewhere):
        raise SystemExit(f"{path or 'this_week'} at {width} pixels: {trouble}")
    tall = page.evaluate("document.querySelector('[data-testid=stMainBlockContainer]').scrollHeight")
    page.set_viewport_size({"width": width, "height": min(tall, TALLEST)})
    page.wait_for_timeout(SETTLE_MS)
    page.screenshot(path=str(file))
    page.close()
    print(file.relative_to(HERE.parent))


def troubles(page: Page, elsewhere: list[str]) -> Iterator[str]:
    """What is wrong with an open page: sideways scrolling, a failure, a request to another server."""
    for where in ("document.documentElement", "document.querySelector('[data-testid=stMain]')"):
        wider = page.evaluate(f"{where}.scrollWidth - {where}.clientWidth")
        if wider > 0:
            yield f"it is {wider} pixels too wide"
    if page.locator("[data-testid=stException], [data-testid=stAlertContentError]").count():
        yield "it shows an error"
    yield from (f"it asks for {url}" for url in elsewhere)


@contextmanager
def served(store: Path) -> Iterator[str]:
    """The dashboard on `store`, as its address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "streamlit", "run", str(HERE / "asgi.py"), "--server.port", str(port)]
    with subprocess.Popen(command, env=os.environ | {"EVENSET_STORE": str(store)}, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as server:
        try:
            address = f"http://127.0.0.1:{port}"
            _wait_for(address)
            yield address
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
