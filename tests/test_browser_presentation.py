"""The client's page in a browser: nobody else in it, its files come down, and the way back leads to the same athlete and week."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import unquote

import pytest

from tests import kept_store, pictures
from tests.browsing import PATIENCE_MS, asked, button, choose, expect
from tests.pictures import Visit

SAMPLE = ("Mina", "Oskar", "Tilde")
BESIDE = ("This week", "Strength", "Balance", "Exercises", "Settings", "Methods", "Data")
FILES = {"HTML, one file": ("html", "", b"<!doctype html>"), "PDF, A4": ("pdf", "_a4", b"%PDF-"), "PDF, Letter": ("pdf", "_letter", b"%PDF-")}


def others_in(seen: Visit, athlete: str) -> list[str]:
    """The names of others that stand anywhere in the page or its address."""
    whole = seen.page.content() + unquote(seen.page.url)
    return [name for name in SAMPLE if name != athlete and name in whole]


@pytest.mark.parametrize("width", [1280, 375])
@pytest.mark.parametrize("athlete", SAMPLE)
def test_the_page_names_nobody_else_and_nothing_of_the_program(visit, demo, athlete, width):
    seen = visit(demo, width)
    frames: list[str] = []
    seen.page.on("websocket", lambda socket: socket.on("framereceived", lambda payload: frames.append(payload if isinstance(payload, str) else payload.decode("utf-8", "ignore"))))
    seen.open("presentation", athlete=athlete)
    assert len(seen.page.evaluate(pictures.MARKS)) == 3
    expect(seen.page.locator("h1")).to_have_text(athlete)
    assert asked(seen).keys() == {"athlete", "week"} and asked(seen)["athlete"] == athlete
    assert not others_in(seen, athlete)
    assert frames and not [name for name in SAMPLE if name != athlete and any(name in frame for frame in frames)]
    assert [one.get_attribute("aria-label") for one in seen.page.get_by_role("combobox").all()] == ["Stair"]  # none that names others
    assert not [title for title in BESIDE if seen.page.get_by_role("link", name=title, exact=True).count()]
    assert [link.inner_text() for link in seen.page.get_by_role("link").all() if link.inner_text() != "Skip to main content"] == ["Back to the week"]


@pytest.mark.parametrize("width", [1280, 375])
def test_each_file_comes_down_with_the_athlete_and_the_week_in_its_name(visit, demo, width, tmp_path):
    seen = visit(demo, width)
    seen.open("presentation", athlete="Oskar", week="2026-07-27")
    for label, (kind, paper, begins) in FILES.items():
        with seen.page.expect_download(timeout=PATIENCE_MS) as down:
            button(seen, label).click()
        assert down.value.suggested_filename == f"Oskar_2026-07-27{paper}.{kind}"
        down.value.save_as(tmp_path / label)
        assert (tmp_path / label).read_bytes().startswith(begins)
    assert b"/MediaBox[0 0 612 792]" in (tmp_path / "PDF, Letter").read_bytes()


def test_the_way_back_leads_to_the_same_athlete_and_week(visit, demo):
    seen = visit(demo)
    seen.open(athlete="Oskar")
    choose(seen, "Athlete", "Tilde")
    seen.page.wait_for_url("**athlete=Tilde**")
    seen.settle()
    button(seen, "Earlier").click()
    seen.page.wait_for_function("before => !location.search.includes(before)", arg=asked(seen)["week"])
    seen.settle()
    here = asked(seen)
    seen.page.get_by_role("link", name="For the client").first.click()
    expect(seen.page.locator("h1")).to_have_text("Tilde")
    seen.settle()
    assert asked(seen) == here and not others_in(seen, "Tilde")
    seen.page.get_by_role("link", name="Back to the week").click()
    expect(seen.page.get_by_role("combobox", name="Athlete", exact=True)).to_have_count(1)
    seen.settle()
    assert asked(seen) == here
    expect(seen.page.get_by_role("combobox", name="Athlete", exact=True)).to_have_value("Tilde")


@pytest.mark.parametrize("who", [{}, {"athlete": "Nobody"}])
def test_nobody_is_shown_who_was_not_asked_for(browser, demo, who):
    seen = pictures.visit(browser, demo)  # the page says that it cannot, which `visit` takes for a failure
    seen.page.goto(f"{demo}/presentation?" + "".join(f"{key}={value}" for key, value in who.items()))
    expect(seen.page.get_by_role("alert")).to_contain_text("Whose page this is has not been chosen")
    assert not [name for name in SAMPLE if name in seen.page.content()]
    seen.page.get_by_role("link", name="This week").first.wait_for()  # the way on
    seen.page.close()


def test_on_paper_only_the_clients_part_is_left(visit, demo):
    seen = visit(demo)
    seen.open("presentation", athlete="Oskar")
    seen.page.emulate_media(media="print")
    expect(button(seen, "PDF, A4")).to_be_hidden()
    expect(seen.page.get_by_role("link", name="Back to the week")).to_be_hidden()
    expect(seen.page.locator("h1")).to_be_visible()


def test_a_printed_week_keeps_each_of_its_sections(visit, demo):
    seen = visit(demo)
    seen.open("", athlete="Oskar")
    headings = seen.page.locator("h2").all_inner_texts()
    seen.page.emulate_media(media="print")
    assert len(headings) >= 7 and [text for text in headings if not seen.page.get_by_role("heading", name=text, exact=True).is_visible()] == []
    expect(seen.page.get_by_role("link", name="All parts and heads →")).to_be_hidden()


def test_on_paper_two_columns_take_its_whole_width_on_two_sheets_at_most(visit, demo):
    seen = visit(demo)
    seen.open("presentation", athlete="Oskar")
    seen.page.emulate_media(media="print")
    seen.page.set_viewport_size({"width": 703, "height": 1000})
    boxes = [drawn.bounding_box() for drawn in seen.page.locator("[data-testid=stVegaLiteChart] svg").all()]
    assert len({round(box["x"] / 100) for box in boxes}) == 2 and max(box["x"] + box["width"] for box in boxes) > 0.95 * 703
    margin = dict.fromkeys(("top", "bottom", "left", "right"), "12mm")
    for paper in ("A4", "Letter"):
        assert len(re.findall(rb"/Type\s*/Page\b", seen.page.pdf(format=paper, margin=margin))) <= 2


@pytest.fixture
def hostile(browser, tmp_path) -> Iterator[str]:
    """The address of a store with someone of a hostile name. It is asked for before `visit`, so that it is served until the visit has ended."""
    with pictures.served(kept_store.build(tmp_path / "s.duckdb", ("Robin", kept_store.HOSTILE))) as address:
        yield address


def test_a_hostile_name_is_text_on_the_page_and_in_its_files(hostile, visit, browser, tmp_path):
    seen = visit(hostile, 375)
    seen.open("presentation", athlete=kept_store.HOSTILE)
    seen.page.wait_for_function("name => document.querySelector('h1').innerText.replaceAll('\\u2060', '') == name", arg=kept_store.HOSTILE)
    assert "Robin" not in seen.page.content()
    assert seen.page.locator(".katex, [src*='198.51.100.7'], [href^='http://198']").count() == 0
    with seen.page.expect_download(timeout=PATIENCE_MS) as down:
        button(seen, "HTML, one file").click()
    file = tmp_path / "given.html"
    down.value.save_as(file)
    looked_at = pictures.visit(browser, file.as_uri(), 375)
    looked_at.page.goto(file.as_uri())
    expect(looked_at.page.locator("h1")).to_have_text(kept_store.HOSTILE)
    assert looked_at.elsewhere == [] and looked_at.errors == []
    wider = looked_at.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    looked_at.page.close()
    assert wider == 0


def test_the_file_stands_on_a_phone_and_on_a_screen(browser, tmp_path, sample_store, run):
    file = Path(tmp_path / "o.html")
    assert run("report", "--athlete", "Oskar", "--out", str(file))[0] == 0
    for width in (375, 1280):
        seen = pictures.visit(browser, file.as_uri(), width)
        seen.page.goto(file.as_uri())
        assert seen.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") == 0
        assert seen.page.get_by_role("img").count() == 3
        assert seen.elsewhere == [] and seen.errors == []
        assert seen.page.evaluate("getComputedStyle(document.querySelector('header')).borderBottomWidth") == "3px"  # the policy lets its own style in
        seen.page.close()


@pytest.fixture
def store(sample_store: Path) -> Path:
    return sample_store
