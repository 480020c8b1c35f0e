"""The ways of those who sit down with it, from beginning to end, on a wide screen and on a phone: alone with a file, beside a client, on a Monday with many.

Each visit also fails where the page asks anything of another host or writes an error into the console (tests/browsing.py).
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.browsing import Visit, asked, bring, button, choose, expect, note_on_mark, picks, picture

WIDTHS = pytest.mark.parametrize("width", [1280, 375])
MONDAY = date.today() - timedelta(days=date.today().weekday())


def go(seen: Visit, page: str) -> None:
    """To another page by the list of pages, which is behind an arrow on a phone and goes once one is chosen."""
    arrow = seen.page.get_by_test_id("stExpandSidebarButton")
    behind = arrow.is_visible()
    if behind:
        arrow.click()
    seen.page.get_by_role("link", name=page, exact=True).first.click()
    if behind:
        expect(seen.page.get_by_test_id("stSidebar")).not_to_be_in_viewport()
    seen.settle()


def log(name: str) -> str:
    """Twenty weeks up to the last full one, two days each, of curls and of a name that nobody knows."""
    days = [MONDAY - timedelta(weeks=back) + timedelta(days=day) for back in range(20, 0, -1) for day in (0, 3)]
    rows = [f"{day},{name},Dumbbell curl,{12 + n // 10},10,2,\n{day},{name},Glimmer press,8,20,2,{'elbow felt odd' if n == 39 else ''}\n" for n, day in enumerate(days)]
    return "Day,Athlete,Movement,Reps,kg,RIR,Comment\n" + "".join(rows)


@WIDTHS
def test_alone_with_a_file_from_an_empty_store_to_what_to_change(fresh, visit, width):
    address, _ = fresh
    seen = visit(address, width)
    seen.open("")
    go(seen, "Data")
    bring(seen, log("Liv"))
    button(seen, "Store it").click()
    expect(seen.page.get_by_text("80 sets stored as import")).to_be_visible()
    expect(seen.page.get_by_text("1 exercise of it waits for a match")).to_be_visible()
    seen.settle()
    seen.page.get_by_role("link", name="See Liv's last week").click()
    expect(seen.page.locator("h1")).to_contain_text("Week of")
    seen.settle()
    assert asked(seen) == {"athlete": "Liv", "week": str(MONDAY - timedelta(weeks=1))}
    expect(seen.page.get_by_text("elbow felt odd")).to_be_visible()
    expect(seen.page.get_by_text("To remember")).to_be_visible()
    button(seen, "Add a note").click()
    form = seen.page.get_by_role("dialog")
    form.get_by_text("pain", exact=True).click()
    form.get_by_role("textbox", name="In words", exact=True).fill("only in the last set")
    form.get_by_role("button", name="Keep it").click()
    expect(form.get_by_text("Where the pain is, is not said")).to_be_visible()
    expect(form.get_by_role("textbox", name="In words", exact=True)).to_have_value("only in the last set")
    form.get_by_role("textbox", name="Where, if it is pain or soreness").fill("left elbow")
    form.get_by_role("button", name="Keep it").click()
    expect(form).to_have_count(0)
    expect(seen.page.locator(".st-key-remember")).to_contain_text("elbow hurts")
    button(seen, "Undo").click()
    expect(seen.page.locator(".st-key-remember")).not_to_contain_text("elbow hurts")


@WIDTHS
def test_beside_a_client_from_the_week_to_a_point_and_to_the_client_s_page(visit, own, width):
    address, _ = own
    seen = visit(address, width)
    for name in (f"Ada {width}", f"Ben {width}"):
        seen.open("data")
        bring(seen, log(name))
        button(seen, "Store it").click()
        expect(seen.page.get_by_text("80 sets stored as import")).to_be_visible()
        seen.settle()
    seen.page.get_by_role("link", name="Say what waits").click()
    expect(seen.page.get_by_role("heading", name="1 exercise waits for a match")).to_be_visible()
    expect(seen.page.get_by_role("checkbox", name=f"Only Ben {width}'s exercises")).to_be_checked()
    seen.settle()
    assert asked(seen)["athlete"] == f"Ben {width}"
    seen.open("", athlete=f"Ada {width}")
    picks(picture(seen, "ribbon")).first.click()
    expect(seen.page.locator("h1")).not_to_contain_text(f"{(MONDAY - timedelta(weeks=1)):%-d %B %Y}")
    seen.settle()
    assert asked(seen)["week"] < str(MONDAY - timedelta(weeks=1)), "a tile leads to its week"
    button(seen, "Later").click()
    seen.settle()
    go(seen, "Strength")
    note_on_mark(seen, "bests", "smooth today")
    seen.settle()
    go(seen, "For the client")
    expect(seen.page.locator("h1")).to_contain_text(f"Ada {width}")
    assert f"Ben {width}" not in seen.page.content() and "smooth today" not in seen.page.content(), "nothing of another, and no private note"


@WIDTHS
def test_on_a_monday_from_the_table_to_one_and_back(visit, demo, width):
    seen = visit(demo, width)
    seen.open("clients")
    table = seen.page.locator(".st-key-clients [data-testid=stPageLink-NavLink]")
    names = table.all_inner_texts()
    assert sorted(names) == ["Mina", "Oskar", "Tilde"]
    table.first.click()
    expect(seen.page.locator("h1")).to_contain_text("Week of")
    seen.settle()
    assert asked(seen)["athlete"] == names[0]
    seen.page.go_back()
    expect(table).to_have_count(3)
    assert table.all_inner_texts() == names
    go(seen, "This week")
    choose(seen, "Athlete", names[2])
    expect(seen.page.locator("h1")).to_contain_text("Week of")
    seen.settle()
    assert asked(seen)["athlete"] == names[2]
