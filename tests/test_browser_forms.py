"""What is said beside the log, in a real browser: a form takes the keyboard with it, stands whole on a small screen, and says what it refuses where it is."""

from __future__ import annotations

from pathlib import Path

import pytest

from dashboard.standing.refresh import refresh
from tests.browsing import button, expect, note_on_mark
from tests.logs import ask, bring
from tests.test_browser_ways import log as curls
from tests.test_said import MONDAY, TODAY, log

FORMS = (("", "note", "It is"), ("", "decision", "What was decided"), ("settings", "goal", "The goal"), ("settings", "block", "Its aim"))
AT = "document.activeElement.closest('[role=dialog]') && ['INPUT', 'TEXTAREA'].includes(document.activeElement.tagName)"
MOST_TABS = 2


def ida(store: Path) -> dict[str, str]:
    """Brings the log in; returns the address of its last week."""
    bring(store, log())
    refresh(store, today=TODAY)
    return {"athlete": "Ida", "week": MONDAY.isoformat()}


@pytest.mark.parametrize(("path", "what", "first"), FORMS)
def test_a_form_takes_the_focus_and_stands_whole(fresh, visit, path, what, first):
    address, store = fresh
    asked = ida(store)
    seen = visit(address)
    seen.page.set_viewport_size({"width": 1280, "height": 800})
    seen.open(path, **asked)
    button(seen, f"Add a {what}").focus()
    seen.page.keyboard.press("Enter")
    form = seen.page.get_by_role("dialog")
    expect(form.get_by_text(first, exact=True)).to_be_visible()
    expect(button(seen, "Keep it")).to_be_in_viewport(ratio=1)
    for tabs in range(MOST_TABS + 1):
        if seen.page.evaluate(AT):
            break
        seen.page.keyboard.press("Tab")
    assert seen.page.evaluate(AT), f"after {tabs} Tabs the focus is not in a field"
    seen.page.keyboard.press("Escape")
    expect(form).to_have_count(0)


@pytest.mark.parametrize("width", [1280, 375])
def test_what_is_refused_stands_in_the_form_with_what_was_typed(fresh, visit, width):
    address, store = fresh
    asked = ida(store)
    seen = visit(address, width)
    seen.open("", **asked)
    button(seen, "Add a note").click()
    form = seen.page.get_by_role("dialog")
    form.get_by_text("pain", exact=True).click()
    form.get_by_label("In words").fill("on the last set")
    button(seen, "Keep it").click()
    expect(form.get_by_text("Where the pain is, is not said")).to_be_in_viewport()
    expect(form.get_by_label("In words")).to_have_value("on the last set")
    form.get_by_label("Where, if it is pain or soreness").fill("left elbow")
    button(seen, "Keep it").click()
    expect(form).to_have_count(0)
    expect(seen.page.get_by_text("The pain is kept.")).to_be_in_viewport()
    seen.settle()


def test_a_click_on_a_dot_of_the_stair_opens_a_note_on_its_day_about_its_exercise(fresh, visit):
    address, store = fresh
    lines = curls("Liv").splitlines(keepends=True)
    half = len(lines) // 2
    bring(store, "".join([*lines[:half], *(line.replace(",10,2,", ",12,2,") for line in lines[half:])]))  # two loads, so that there is a stair
    refresh(store)
    seen = visit(address)
    seen.open("strength", athlete="Liv")
    told = note_on_mark(seen, "stair", "smooth on the stair")
    ((day, subject),) = ask(store, "select date, subject from notes")
    assert f"{day.day} {day:%B %Y}" in told and subject
