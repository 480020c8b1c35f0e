"""Every page held against the rules of axe-core, which cover what of WCAG 2 a program can check, in both widths and both schemes.

Deque Systems, axe-core rules, https://github.com/dequelabs/axe-core/blob/develop/doc/rule-descriptions.md. Impact `serious` and `critical` fail.
"""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.pictures import ASKED, PAGES, SHOWN

WIDTHS = (1280, 375)
FAILS = ("serious", "critical")


def faults(page) -> list[str]:
    """What axe finds that fails, with the first place of each."""
    return [f"{one['id']}: {one['nodes'][0]['html'][:200]}" for one in Axe().run(page).response["violations"] if one["impact"] in FAILS]


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", PAGES)
def test_no_serious_fault_on_any_page(visit, demo, name: str, width: int):
    seen = visit(demo, width)
    for scheme in ("light", "dark"):
        seen.page.emulate_media(color_scheme=scheme)
        seen.open(PAGES[name], athlete=SHOWN, **ASKED.get(name, {}))
        assert not faults(seen.page), scheme


@pytest.mark.parametrize("width", WIDTHS)
def test_no_serious_fault_where_something_is_entered(visit, own, width: int):
    """A store that is empty at first, and a form that is open."""
    seen = visit(own[0], width)
    seen.open()
    assert not faults(seen.page)
    seen.open("data")
    assert not faults(seen.page)


def test_no_serious_fault_in_an_open_form(visit, demo):
    seen = visit(demo)
    seen.open(athlete=SHOWN)
    for name in ("Add a note", "Mark this week"):
        seen.page.get_by_role("button", name=name).click()
        seen.page.wait_for_timeout(500)
        assert not faults(seen.page), name
        seen.page.keyboard.press("Escape")


def test_axe_finds_a_fault_where_there_is_one(visit, demo):
    """The check itself: a picture without a text alternative, and text that is too pale."""
    seen = visit(demo)
    seen.open(athlete=SHOWN)
    seen.page.evaluate("""() => { const main = document.querySelector('h1').parentElement;
        main.insertAdjacentHTML('beforeend', '<img src="data:image/gif;base64,R0lGODlhAQABAAAAACw="><p style="color:#ccc">too pale to be read</p>') }""")
    assert {fault.split(":")[0] for fault in faults(seen.page)} >= {"image-alt", "color-contrast"}
