"""What readers of two locales see in a real browser: each number with their own decimal mark, on every page, in every picture and in what they take along."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from dashboard.locales import mark_of
from dashboard.sentences.decimal_mark import COMMA, POINT
from tests import pictures
from tests.browsing import button, part
from tests.marked_pages import DECIMALS, NO_NUMBERS
from tests.pictures import Visit
from tests.test_locale import COMMAS, POINTS

READERS = {"de-DE": (COMMA, POINT), "en-US": (POINT, COMMA)}  # the mark that a reader sees, and the one that is nowhere
# All text that stands on the page, folded away or not, and what the pictures draw and tell a screen reader.
SHOWN = """() => [...document.querySelectorAll('[data-testid=stMain] *, [data-testid=stApp] svg text')].flatMap(element => [
    ...[...element.childNodes].filter(node => node.nodeType === Node.TEXT_NODE).map(node => node.textContent),
    element.closest('svg') ? element.getAttribute('aria-label') || '' : '', element.getAttribute('alt') || ''])
    .filter(text => text.trim())"""
NO_TEXT = re.compile(r"^\s*(?:[.#@:][\w-]|<)")  # a style sheet
HAVE_DECIMALS = {"": 5, "strength": 5, "balance": 5, "load": 5, "presentation": 3, "look_up": 5}  # path -> fewer texts with them than it has


def shown(seen: Visit) -> list[str]:
    """The texts on the page without formulas, code, addresses and versions."""
    return [NO_NUMBERS.sub(" ", text) for text in seen.page.evaluate(SHOWN) if not NO_TEXT.match(text)]


def with_mark(found: list[str], mark: str) -> list[str]:
    return [text for text in found if DECIMALS[mark].search(text)]


@pytest.mark.parametrize("locale", READERS)
@pytest.mark.parametrize("path", pictures.PAGES.values())
def test_each_page_is_written_with_the_readers_mark(visit, demo, path, locale):
    own, other = READERS[locale]
    seen = visit(demo, locale=locale)
    seen.open(path, athlete="Oskar", **pictures.ASKED.get(path, {}))
    found = shown(seen)
    assert not with_mark(found, other)
    assert path not in HAVE_DECIMALS or len(with_mark(found, own)) > HAVE_DECIMALS[path]


@pytest.mark.parametrize("locale", READERS)
def test_the_axes_and_tooltips_of_a_picture_are_written_with_it(visit, demo, locale):
    own, other = READERS[locale]
    seen = visit(demo, locale=locale)
    seen.open("strength", athlete="Oskar")
    drawn = [text for text in seen.page.locator("svg .role-axis-label text").all_text_contents()]
    assert with_mark(drawn, own) and not with_mark(drawn, other)
    seen.page.locator("[data-testid=stVegaLiteChart] svg .role-mark path").nth(8).hover(force=True)
    told = seen.page.locator("#vg-tooltip-element")
    told.wait_for(state="attached")
    assert not with_mark([NO_NUMBERS.sub(" ", told.inner_text())], other)


@pytest.mark.parametrize("locale", READERS)
def test_sections_behind_a_choice_are_written_with_it(visit, demo, locale):
    own, other = READERS[locale]
    seen = visit(demo, locale=locale)
    for path, name in (("methods", "How often it is right"), ("methods", "All settings"), ("look_up", "Exercise"), ("look_up", "Two blocks"), ("data", "What waits"), ("data", "What came in")):
        seen.open(path, athlete="Oskar")
        part(seen, name)
        assert not with_mark(shown(seen), other), name


@pytest.mark.parametrize("locale", READERS)
def test_what_is_taken_along_has_the_readers_mark_for_reading_and_the_point_for_programs(visit, demo, tmp_path, locale):
    own, other = READERS[locale]
    seen = visit(demo, locale=locale)
    seen.open("presentation", athlete="Oskar")
    report = _words(_taken(seen, "HTML, one file", tmp_path))
    assert DECIMALS[own].search(report) and not DECIMALS[other].search(NO_NUMBERS.sub(" ", report))
    seen.open("load", athlete="Oskar")
    seen.page.get_by_text("Take this picture").first.click()
    picture = _words(_taken(seen, "SVG, for print", tmp_path))
    assert not DECIMALS[other].search(picture)
    numbers = _taken(seen, "CSV, its numbers", tmp_path)
    assert DECIMALS[POINT].search(numbers) and not re.search(r'"[^"\n]*\d,\d', numbers)


def test_the_marks_are_those_of_the_browsers_own_data(visit, demo):
    """Chromium has CLDR by another way, ICU: both say the same of each locale."""
    seen = visit(demo)
    seen.open("methods")
    ask = "locales => locales.map(one => Intl.NumberFormat(one).formatToParts(1.5).find(part => part.type === 'decimal').value)"
    locales = [*COMMAS, *POINTS]
    assert seen.page.evaluate(ask, locales) == [mark_of(one) for one in locales]


def _taken(seen: Visit, label: str, folder: Path) -> str:
    """The text of the file that a button gives."""
    with seen.page.expect_download() as coming:
        button(seen, label).click()
    coming.value.save_as(folder / "taken")
    return (folder / "taken").read_text("utf-8-sig")


def _words(file: str) -> str:
    return "\n".join(re.findall(r">([^<>]+)<", re.sub(r"<style>.*?</style>", "", file, flags=re.DOTALL)))
