"""The dashboard in a real browser, for the tests that look at it: what serves it, and how a visitor acts.

Skipped where no Chromium is found; with EVENSET_BROWSER_TESTS=1 a missing one is a failure.
"""

from __future__ import annotations

import os
import shutil
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Browser, Error, Locator, LocatorAssertions, TimeoutError, sync_playwright
from playwright.sync_api import expect as at_once

from tests import pictures
from tests.pictures import Visit

PATIENCE_MS = 1000 * pictures.PATIENCE_S
KEY_MS = 150
at_once.set_options(timeout=PATIENCE_MS)


class Expectation:
    """Playwright's own expectations, with its patience for a thing that stands twice as well: a page that is being drawn anew holds what moved in its
    old and in its new place for a moment, which Playwright refuses at once."""

    def __init__(self, locator: Locator) -> None:
        self._of: LocatorAssertions = at_once(locator)

    def __getattr__(self, name: str) -> Callable[..., None]:
        assertion = getattr(self._of, name)

        def check(*values: object, **options: object) -> None:
            until = time.monotonic() + pictures.PATIENCE_S
            while True:
                try:
                    return assertion(*values, **options)
                except (AssertionError, Error) as refused:
                    if "strict mode violation" not in str(refused) or time.monotonic() > until:
                        raise
                    time.sleep(0.1)

        return check


def expect(locator: Locator) -> Expectation:
    return Expectation(locator)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    program = pictures.chromium()
    if program is None:
        (pytest.fail if os.environ.get("EVENSET_BROWSER_TESTS") == "1" else pytest.skip)(pictures.NO_CHROMIUM)
    with sync_playwright() as play:
        started = play.chromium.launch(executable_path=program, args=pictures.FLAGS)
        yield started
        started.close()


@pytest.fixture(scope="module")
def demo(browser, tmp_path_factory) -> Iterator[str]:
    """The address of the sample as the command itself builds and serves it."""
    command = shutil.which("evenset", path=str(Path(sys.executable).parent))
    assert command, "the project is installed with its command"
    port = pictures.free_port()
    store = tmp_path_factory.mktemp("demo") / "demo.duckdb"
    with pictures.running([command, "demo", "--no-browser", "--port", str(port), "--store", str(store)], port) as address:
        yield address


@pytest.fixture(scope="module")
def own(browser, tmp_path_factory) -> Iterator[tuple[str, Path]]:
    """Address and path of a store that is empty at first. Each test brings in an athlete of its own."""
    store = tmp_path_factory.mktemp("own") / "own.duckdb"
    with pictures.served(store) as address:
        yield address, store


@pytest.fixture
def fresh(browser, tmp_path) -> Iterator[tuple[str, Path]]:
    """Address and path of a store that no other test sees. A test asks for it before `visit`: it is then served until the visit has been looked over."""
    with pictures.served(tmp_path / "fresh.duckdb") as address:
        yield address, tmp_path / "fresh.duckdb"


@pytest.fixture(scope="module")
def empty(browser, tmp_path_factory) -> Iterator[str]:
    """The address of a store that stays empty, in a home of its own where the sample has not been built yet."""
    home = tmp_path_factory.mktemp("home")
    places = {name: str(home) for name in ("HOME", "XDG_DATA_HOME", "LOCALAPPDATA")}
    with pictures.served(home / "empty.duckdb", **places) as address:
        yield address


@pytest.fixture
def visit(browser):
    """A function that gives a fresh visitor of an address; what went wrong during the visit fails the test."""
    visits: list[Visit] = []

    def begin(address: str, width: int = 1280, locale: str = "en-US") -> Visit:
        visits.append(pictures.visit(browser, address, width, locale=locale))
        return visits[-1]

    yield begin
    for seen in visits:
        with suppress(TimeoutError):  # a page that is being drawn anew has no marks yet
            seen.settle()
        found = list(pictures.troubles(seen))
        seen.page.close()
        assert not found, found


def asked(seen: Visit) -> dict[str, str]:
    """What stands in the address."""
    return {name: values[0] for name, values in parse_qs(urlsplit(seen.page.url).query).items()}


def choose(seen: Visit, label: str, option: str, tries: int = 3) -> None:
    """Pick an option by its words. A page that is drawn anew just then closes the list, or has a choice that moves in its old and its new place, so
    that it is tried again."""
    seen.settle()
    box = seen.page.get_by_role("combobox", name=label, exact=True)
    wanted = seen.page.get_by_role("option", name=option, exact=True)
    try:
        expect(box).to_have_count(1)
        box.click(timeout=PATIENCE_MS / 6)
        seen.page.get_by_role("option").first.wait_for(timeout=PATIENCE_MS / 6)
        seen.page.keyboard.type(option)  # a long list draws only what is in sight
        wanted.click(timeout=PATIENCE_MS / 6)
    except Error:
        if tries == 1:
            raise
        seen.page.keyboard.press("Escape")
        choose(seen, label, option, tries - 1)


def bring(seen: Visit, text: str, name: str = "log.csv") -> None:
    seen.page.locator("[data-testid=stFileUploader] input[type=file]").set_input_files(
        {"name": name, "mimeType": "text/csv", "buffer": text.encode()})


def button(seen: Visit, name: str) -> Locator:
    """A button of the page as it stands: a click on one that is being drawn anew would be lost."""
    seen.settle()
    return seen.page.get_by_role("button", name=name, exact=True)


def picks(picture: Locator, kind: str = "rect") -> Locator:
    """The marks of a picture that can be picked: unseen ones over all others, in their order. kind: as Vega calls them."""
    return picture.locator(f"svg g.mark-{kind}.role-mark").last.locator("path")


def picture(seen: Visit, name: str) -> Locator:
    """The picture of that name."""
    return seen.page.locator(f"[class*='st-key-{name}_']")


def note_on_mark(seen: Visit, name: str, words: str) -> str:
    """Click the last mark of the picture of that name, and keep a note in the form that opens. Returns what the mark tells."""
    mark = picks(picture(seen, name), "symbol").last
    mark.scroll_into_view_if_needed()
    mark.hover(force=True)
    told = seen.page.locator("#vg-tooltip-element")
    expect(told).to_be_visible()
    label = told.inner_text()
    mark.click(force=True)
    form = seen.page.get_by_role("dialog")
    form.get_by_role("textbox", name="In words", exact=True).fill(words)
    form.get_by_role("button", name="Keep it").click()
    expect(form).to_have_count(0)
    expect(seen.page.get_by_text(words).first).to_be_visible()
    return label


def part(seen: Visit, name: str) -> None:
    """Open another part of the page Data."""
    seen.page.locator("[data-testid=stButtonGroup] button", has_text=name).click()
    seen.settle()
