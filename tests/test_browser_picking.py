"""Real clicks in marks, and files that really arrive, at both widths."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from xml.etree import ElementTree

import pytest
from playwright.sync_api import Locator

from tests import pictures
from tests.browsing import asked, choose, expect, picks
from tests.pictures import Visit

WIDTHS = pytest.mark.parametrize("width", [1280, 375])
WEEK = "2026-09-21"


def marks(seen: Visit, chart: int = 0) -> Locator:
    """What can be picked in a chart of the page, by its number."""
    return picks(seen.page.locator("[data-testid=stVegaLiteChart]").nth(chart))


def pick(seen: Visit, at: int, chart: int = 0) -> None:
    seen.settle()
    marks(seen, chart).nth(at).click()


@WIDTHS
def test_a_click_on_a_week_shows_that_week_and_a_second_one_lets_go(visit, demo, width):
    seen = visit(demo, width)
    seen.open("load", athlete="Oskar", week="2026-08-03")
    title = seen.page.locator("h1").inner_text()
    pick(seen, 24)  # of 26 weeks, the last of which is the chosen one
    expect(seen.page.locator("h1")).to_contain_text("large spike")
    seen.page.wait_for_url("**of_week=2026-07-27**")
    expect(seen.page.get_by_role("heading", name="Week of 27 July 2026")).to_be_visible()
    pick(seen, 24)
    expect(seen.page.locator("h1")).to_have_text(title)
    seen.page.wait_for_function("() => !location.search.includes('of_week')")
    choose(seen, "Look at", "Week of 20 July 2026")
    pick(seen, 24)  # the picture hears a click again after the list has spoken
    expect(seen.page.locator("h1")).to_contain_text("large spike")
    seen.settle()


@WIDTHS
def test_a_click_on_a_part_filters_strength_and_one_on_an_exercise_shows_it(visit, demo, width):
    seen = visit(demo, width)
    seen.open("strength", athlete="Oskar", week=WEEK)
    pick(seen, 0)
    seen.page.wait_for_function("() => location.search.includes('part=')")
    seen.settle()
    name = seen.page.locator("[data-testid=stVegaLiteChart]").first.locator("svg g.mark-text.role-mark text").first.text_content()
    box = seen.page.get_by_role("combobox", name="Part", exact=True)
    expect(box).to_have_value(f"{name[:1].upper()}{name[1:]}")  # the list says the same as the picture
    seen.open("strength", athlete="Oskar", week=WEEK, part="vasti")
    heading = seen.page.locator("h2").nth(1).inner_text()
    of_the_part = seen.page.locator("[data-testid=stVegaLiteChart]").count() - 3  # the picture before the one over time and the stair
    pick(seen, marks(seen, of_the_part).count() - 1, of_the_part)
    expect(seen.page.locator("h2").nth(1)).not_to_have_text(heading)
    assert asked(seen)["exercise"]
    seen.settle()


@WIDTHS
def test_a_click_on_a_plank_says_what_gave_it_its_sets(visit, demo, width):
    seen = visit(demo, width)
    seen.open("balance", athlete="Oskar", week=WEEK)
    pick(seen, 1)
    expect(seen.page.get_by_role("heading", name="came from")).to_be_visible()
    expect(seen.page.locator("[data-testid=stTable] tbody tr").last).to_contain_text("all")
    assert asked(seen)["part"]
    seen.settle()


@WIDTHS
def test_a_picture_arrives_as_svg_as_png_and_as_csv(visit, demo, width, tmp_path: Path):
    seen = visit(demo, width)
    seen.open("load", athlete="Oskar", week=WEEK)
    seen.page.get_by_role("button", name="Take this picture").first.click()
    files = {}
    for ending, label in (("svg", "SVG, for print"), ("png", "PNG, for a message"), ("csv", "CSV, its numbers")):
        with seen.page.expect_download() as coming:
            seen.page.get_by_role("button", name=label).first.click()
        assert coming.value.suggested_filename == f"hard-sets-whole-body-{WEEK}.{ending}"
        coming.value.save_as(tmp_path / ending)
        files[ending] = (tmp_path / ending).read_bytes()
    drawing = ElementTree.fromstring(files["svg"])
    assert drawing.tag == "{http://www.w3.org/2000/svg}svg" and len(list(drawing.iter("{http://www.w3.org/2000/svg}path"))) > 26
    assert files["png"][:8] == b"\x89PNG\r\n\x1a\n" and int.from_bytes(files["png"][16:20]) == 1800
    rows = list(csv.DictReader(io.StringIO(files["csv"].decode("utf-8-sig"))))
    assert len(rows) == 26 and rows[-1]["week"] == WEEK and float(rows[-1]["hard sets"]) > 0


def test_a_table_arrives_as_csv_and_the_grid_offers_none_of_its_own(visit, demo, tmp_path: Path):
    seen = visit(demo)
    seen.open("look_up", athlete="Oskar", session="2026-09-17")
    grid = seen.page.locator("[data-testid=stDataFrame]").first
    grid.hover()
    assert not grid.locator("..").get_by_label("Download as CSV").count()
    with seen.page.expect_download() as coming:
        seen.page.get_by_role("button", name="Take this table as CSV").last.click()
    assert coming.value.suggested_filename == "session-2026-09-17.csv"
    coming.value.save_as(tmp_path / "sets.csv")
    rows = list(csv.DictReader(io.StringIO((tmp_path / "sets.csv").read_text("utf-8-sig"))))
    assert len(rows) > 10 and {"exercise", "load, lb", "repetitions"} <= set(rows[0]), "his log is in pounds"


@WIDTHS
@pytest.mark.parametrize("asks", [{"session": "2026-09-17"}, {"exercise": "barbell_bench_press"}, {"first": "2026-08-24_2026-09-14", "second": "2026-07-27_2026-08-17"}])
def test_each_look_up_stands_and_keeps_its_address(visit, demo, width, asks):
    seen = visit(demo, width)
    seen.open("look_up", athlete="Oskar", week=WEEK, **asks)
    assert {name: value for name, value in asked(seen).items() if name in asks or name in ("first", "second", "session", "exercise")} == asks
    buttons = seen.page.locator("[data-testid=stButtonGroup] button")
    assert len({round(buttons.nth(i).bounding_box()["y"]) for i in range(buttons.count())}) == 1, "the parts of the page stand in one row"
    assert not list(pictures.troubles(seen))
