"""The page Exercises in a real browser."""

from __future__ import annotations

import pytest

from etl import tables
from etl.store import reading
from tests import pictures
from tests.browsing import button, choose, expect, part


@pytest.mark.parametrize("width", [1280, 375])
def test_an_exercise_and_two_side_by_side_are_drawn_at_both_widths(visit, demo, width):
    seen = visit(demo, width)
    seen.open("exercises", athlete="Oskar", exercise="barbell_bench_press")
    expect(seen.page.locator("h2").first).to_contain_text("Barbell bench press: ")
    assert seen.page.evaluate(pictures.MARKS) and not list(pictures.troubles(seen))
    seen.open("exercises", athlete="Oskar", first="barbell_curl", second="reverse_curl")
    part(seen, "Two side by side")
    expect(seen.page.get_by_text("Barbell curl more for")).to_be_visible()
    seen.settle()
    assert seen.page.evaluate(pictures.MARKS)


def test_a_changed_credit_is_shown_as_the_visitors(fresh, visit):
    address, store = fresh
    seen = visit(address)
    seen.open("exercises", exercise="hammer_curl")
    seen.page.get_by_text("Change what it trains").click()
    choose(seen, "Head", "brachialis: direct now")
    seen.page.get_by_text("0.25, explains only", exact=True).click()
    button(seen, "Change it").click()
    expect(seen.page.get_by_text("a set counts 0.25 for brachialis")).to_be_visible()
    seen.settle()
    with reading(store):
        assert tables.modified_credits("hammer_curl")["brachialis"] == 0.25
