"""The page Clients in a real browser, at both widths: rows that fit, names that open a week by mouse and by keyboard, pictures with words."""

from __future__ import annotations

import pytest

from tests.browsing import asked, button, expect
from tests.pictures import Visit

SPIKE = "2026-07-27"  # sample_data/README.md: the week in which Oskar did everything about twice


def names(seen: Visit) -> list[str]:
    return seen.page.locator(".st-key-clients [data-testid=stPageLink-NavLink]").all_inner_texts()


@pytest.mark.parametrize("width", [1280, 375])
def test_who_needs_a_look_stands_first_and_opens_that_week(visit, demo, width):
    seen = visit(demo, width)
    seen.open("clients", monday=SPIKE)
    assert names(seen)[0] == "Oskar" and len(names(seen)) == 3
    first = seen.page.locator(".client .why").first
    expect(first).to_contain_text("Load. Whole body: 197 hard sets this week")
    assert not seen.page.get_by_role("combobox", name="Athlete", exact=True).count()
    seen.page.get_by_role("link", name="Oskar", exact=True).click()
    expect(seen.page.locator("h1")).to_have_text("Week of 27 July 2026")
    seen.settle()
    assert {key: value for key, value in asked(seen).items() if key != "monday"} == {"athlete": "Oskar", "week": SPIKE}


def test_a_name_is_reached_and_opened_by_keyboard(visit, demo):
    seen = visit(demo)
    seen.open("clients", monday=SPIKE)
    seen.page.get_by_role("radio", name="Not trained").or_(button(seen, "Not trained")).first.focus()
    for _ in range(6):
        seen.page.keyboard.press("Tab")
        if seen.page.evaluate("document.activeElement.innerText") == "Oskar":
            break
    assert seen.page.evaluate("document.activeElement.innerText") == "Oskar"
    seen.page.keyboard.press("Enter")
    expect(seen.page.locator("h1")).to_have_text("Week of 27 July 2026")


def test_cells_stand_beside_each_other_where_there_is_room_and_below_each_other_where_not(visit, demo):
    def tops(width: int) -> list[float]:
        seen = visit(demo, width)
        seen.open("clients", monday=SPIKE)
        line = seen.page.locator(".client").nth(1)
        return [line.locator(part).first.bounding_box()["y"] for part in ("p", ".why")]

    beside, below = tops(1280), tops(375)
    assert abs(beside[0] - beside[1]) < 2 and below[1] > below[0] + 20


def test_each_small_picture_has_its_words(visit, demo):
    seen = visit(demo, 375)
    seen.open("clients", monday=SPIKE)
    pictures = seen.page.locator(".client img")
    assert pictures.count() == 3
    assert all(picture.get_attribute("alt").startswith("Hard sets, oldest week first: ") for picture in pictures.all())
    assert pictures.evaluate_all("all => all.every(one => one.complete && one.naturalWidth > 100)")


def test_narrowing_shows_only_those(visit, demo):
    seen = visit(demo)
    seen.open("clients", monday="2026-05-18")
    seen.page.get_by_role("radio", name="Not trained").or_(button(seen, "Not trained")).first.click()
    expect(seen.page.locator(".client")).to_have_count(2)  # the headings and one line
    assert names(seen) == ["Mina"]


def test_going_through_the_page_keeps_athlete_and_week(visit, demo):
    seen = visit(demo)
    seen.open("strength", athlete="Oskar", week=SPIKE)
    for page in ("Clients", "Load"):
        seen.page.get_by_role("link", name=page, exact=True).first.click()
        seen.page.wait_for_url(f"**/{page.lower()}?**")
        seen.settle()
        assert {key: asked(seen)[key] for key in ("athlete", "week")} == {"athlete": "Oskar", "week": SPIKE}
