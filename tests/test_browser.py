"""The dashboard in a real browser, from the command that starts it to a file that ends up in the store.

Skipped where no Chromium is found; with EVENSET_BROWSER_TESTS=1 a missing one is a failure.
"""

from __future__ import annotations

import socket
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from dashboard import methods
from etl.store import reading
from tests import pictures
from tests.browsing import KEY_MS, asked, bring, button, choose, expect, part
from tests.pictures import Visit

NOWHERE = "198.51.100.7"  # RFC 5737: an address for documentation, nobody's
HOSTILE = f"Press ![x](http://{NOWHERE}/p.png) <img src=http://{NOWHERE}/q.png> $x^2$"


def stored(store: Path, athlete: str) -> list[tuple]:
    with reading(store) as con:
        return con.execute("select date::date::text, exercise_as_written, load_kg, reps from sets where athlete = ? order by all", [athlete]).fetchall()


def answers(address: tuple, family: int = socket.AF_INET) -> bool:
    with socket.socket(family) as line:
        line.settimeout(2)
        return line.connect_ex(address) == 0


def test_the_demo_listens_on_the_loopback_address_alone(demo):
    port = urlsplit(demo).port
    assert answers(("127.0.0.1", port))
    if socket.has_ipv6:
        assert not answers(("::1", port), socket.AF_INET6)
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as route:
        try:
            route.connect((NOWHERE, 9))  # sends nothing: it asks by which of its own addresses this machine would go there
        except OSError:
            return  # a machine without a way out has no other address to be reached at
        outward = route.getsockname()[0]
    assert outward.startswith("127.") or not answers((outward, port))


@pytest.mark.parametrize("width", [1280, 375])
@pytest.mark.parametrize("path", pictures.PAGES.values())
def test_each_page_stands_at_both_widths(visit, demo, path, width):
    seen = visit(demo, width)
    seen.open(path, athlete="Oskar")
    assert len(seen.page.evaluate(pictures.MARKS)) > 0 or path in ("clients", "exercises", "settings", "data", "methods")
    assert urlsplit(seen.page.url).path == f"/{path}", "a link to a page stays on it"


def test_a_link_below_a_picture_opens_its_formula_and_keeps_athlete_and_week(visit, demo):
    seen = visit(demo)
    seen.open("", athlete="Oskar", week="2026-08-03")
    with seen.page.expect_popup() as opened:
        seen.page.get_by_role("link", name="its range", exact=True).click()
    assert asked(seen) == {"athlete": "Oskar", "week": "2026-08-03"}, "the page stays as it was read, and its formula stands beside it"
    seen.page = opened.value
    expect(seen.page.locator("h2").first).to_have_text("Range of a dose")
    seen.settle()
    assert asked(seen) == {"athlete": "Oskar", "week": "2026-08-03", "measure": "dose_range"}
    seen.page.get_by_role("button", name="Dose of a head", exact=True).click()
    expect(seen.page.locator("h2").first).to_have_text("Dose of a head")
    seen.page.go_back()
    expect(seen.page.locator("h2").first).to_have_text("Range of a dose")


@pytest.mark.parametrize("width", [1280, 375])
def test_formulas_are_drawn_at_both_widths(visit, demo, width):
    seen = visit(demo, width)
    for measure in ("verdict", "noise_scale", "monotony"):
        seen.open("methods", athlete="Oskar", measure=measure)
        expect(seen.page.locator(".katex-display .katex-html")).to_have_count(len(methods.measure(measure).formula))
        assert not seen.page.locator(".katex-error").count()
        assert not list(pictures.troubles(seen))


def test_what_is_told_as_dotted_or_dashed_is_drawn_so(visit, demo):
    """Each row brings its own dashes, and how they reach the browser is not how they are written into a file."""
    seen = visit(demo)
    for path, athlete, dashes in (("", "Tilde", "2,3"), ("load", "Mina", "3,2")):  # what is usual of a log without a plan; weeks of return
        seen.open(path, athlete=athlete)
        drawn = seen.page.locator(f"svg path[stroke-dasharray='{dashes}']")
        expect(drawn.last).to_be_visible()
        assert drawn.count() < seen.page.locator("svg .mark-rect path").count() / 2, "most are not"


def test_choosing_an_athlete_changes_page_and_address(visit, demo):
    seen = visit(demo)
    seen.open("strength", athlete="Oskar")
    before = seen.page.locator("[data-testid=stMain]").inner_text()
    choose(seen, "Athlete", "Tilde")
    seen.page.wait_for_url("**athlete=Tilde**")
    seen.settle()
    assert asked(seen)["athlete"] == "Tilde"
    seen.page.wait_for_function("before => document.querySelector('[data-testid=stMain]').innerText != before", arg=before)


def test_choosing_a_week_changes_page_and_address(visit, demo):
    seen = visit(demo)
    seen.open(athlete="Oskar")
    title, week = seen.page.locator("h1").inner_text(), asked(seen)["week"]
    button(seen, "Earlier").click()
    expect(seen.page.locator("h1")).not_to_have_text(title)
    seen.settle()
    assert asked(seen)["week"] < week
    assert asked(seen)["athlete"] == "Oskar"


def test_a_link_opens_its_athlete_and_week(visit, demo):
    first = visit(demo)
    first.open("balance", athlete="Mina")
    button(first, "Earlier").click()
    first.page.wait_for_function("before => !location.search.includes(before)", arg=asked(first)["week"])
    first.settle()
    second = visit(demo)
    second.page.goto(first.page.url)
    second.settle()
    assert asked(second) == asked(first)
    expect(second.page.locator("h1")).to_have_text(first.page.locator("h1").inner_text())


def test_a_link_to_someone_who_is_not_there_says_so(visit, demo):
    seen = visit(demo)
    seen.open(athlete="Nobody")
    expect(seen.page.get_by_role("alert")).to_contain_text('"Nobody", who is not in this store')
    choose(seen, "Athlete", "Tilde")
    expect(seen.page.get_by_role("alert")).to_have_count(0)


def test_an_upload_goes_over_its_preview_into_the_store_and_only_once(visit, own):
    address, store = own
    log = "Date,Athlete,Exercise,Weight (lb),Reps\n" + "".join(f"2026-03-{day:02},Ida,Bench press,100,{reps}\n" for day in (2, 4) for reps in (8, 7, 6))
    for width, new in ((375, 6), (1280, 0)):
        seen = visit(address, width)
        seen.open("data")
        bring(seen, log)
        expect(seen.page.get_by_text(f"6 rows read: {new} new sets, {6 - new} already stored, 0 rows set aside.")).to_be_visible()
        first = seen.page.locator("[data-testid=stTable] tbody tr").first
        expect(first).to_contain_text("2026-03-02 | Ida | Bench press | 100 | 8")
        expect(first).to_contain_text("45.4 kg")  # 100 lb of 0.45359237 kg, the international pound
        if new:
            button(seen, "Store it").click()
            expect(seen.page.get_by_text("6 sets stored as import")).to_be_visible()
        else:
            expect(button(seen, "Store it")).to_be_disabled()
        seen.settle()
    rows = stored(store, "Ida")
    assert [row[3] for row in rows] == [6, 7, 8, 6, 7, 8]
    assert {round(row[2], 3) for row in rows} == {45.359}


def test_dates_that_can_be_read_two_ways_are_asked_about_on_the_page(visit, own):
    address, store = own
    seen = visit(address)
    seen.open("data")
    bring(seen, "Date,Athlete,Exercise,Weight (kg),Reps\n03/04/2026,Jon,Bench press,60,8\n")
    expect(seen.page.get_by_role("alert")).to_contain_text('"03/04/2026" can be read day first or month first')
    expect(seen.page.get_by_role("alert")).to_contain_text("Say it in the fields above.")
    choose(seen, "Dates are written", "month first (12/31)")
    button(seen, "Store it").click()
    expect(seen.page.get_by_text("1 set stored as import")).to_be_visible()
    seen.settle()
    assert stored(store, "Jon") == [("2026-03-04", "Bench press", 60, 8)]


@pytest.mark.parametrize("width", [1280, 375])
def test_what_is_missing_is_said_above_the_columns_that_are_asked_for(visit, own, width):
    """On a phone the columns fill three screens."""
    seen = visit(own[0], width)
    seen.open("data")
    bring(seen, "When,Blurb,Thing,A,B\n2026-09-01,easy start,Bench press,60,8\n2026-09-03,,Back squat,80,7\n")
    alert, first = seen.page.get_by_role("alert"), seen.page.get_by_role("combobox", name="When", exact=True)
    expect(alert).to_contain_text("Say it in the fields below.")
    expect(first).to_be_visible()
    assert alert.bounding_box()["y"] < first.bounding_box()["y"]


def test_columns_that_are_not_recognised_are_asked_for_on_the_page(visit, own):
    address, store = own
    seen = visit(address)
    seen.open("data")
    bring(seen, "aaa,Athlete,bbb,kg,ccc\n2026-03-02,Kim,Rope thing,60,8\n")
    expect(seen.page.get_by_text("Which column is which in log.csv?")).to_be_visible()
    choose(seen, "bbb", "exercise")
    choose(seen, "ccc", "repetitions")
    expect(seen.page.get_by_text("1 row read: 1 new set")).to_be_visible()
    expect(seen.page.locator("[data-testid=stTable] tbody tr").first).to_contain_text("60 kg")
    button(seen, "Store it").click()
    expect(seen.page.get_by_text("1 set stored as import")).to_be_visible()
    seen.settle()
    assert stored(store, "Kim") == [("2026-03-02", "Rope thing", 60, 8)]


def write_into(seen: Visit, column: int, text: str) -> None:
    """Put a text into the first row of the page's table, in its column of that number from 0, by the keyboard."""
    seen.page.locator("[data-testid=stDataFrame] .dvn-scroller").first.click(position={"x": 30, "y": 52})
    for _ in range(column):
        seen.page.wait_for_timeout(KEY_MS)  # the table draws the cell it stands on before it takes the next key
        seen.page.keyboard.press("ArrowRight")
    seen.page.wait_for_timeout(KEY_MS)
    seen.page.keyboard.type(text)
    seen.page.wait_for_timeout(KEY_MS)
    seen.page.keyboard.press("Enter")
    seen.settle()


def test_a_wrong_column_is_corrected_a_row_mended_and_a_set_changed(fresh, visit):
    address, store = fresh
    log = "Date,Athlete,Exercise,Reps,Load,Iron\n2026-03-02,Nia,Bench press,8,1,60\n2026-03-02,Nia,Bench press,many,1,60\n"
    seen = visit(address)
    seen.open("data")
    bring(seen, log)
    seen.page.get_by_text("How the columns of log.csv were read").click()
    choose(seen, "Iron", "load")
    expect(seen.page.locator("[data-testid=stTable] tbody tr").first).to_contain_text("60 kg")
    button(seen, "Store it").click()
    expect(seen.page.get_by_text("1 set stored as import")).to_be_visible()
    seen.settle()
    part(seen, "What waits")
    write_into(seen, 6, "7")
    button(seen, "Take the mended rows in").click()
    expect(seen.page.get_by_text("1 row taken in (1 set)")).to_be_visible()
    seen.settle()
    assert stored(store, "Nia") == [("2026-03-02", "Bench press", 60, 7), ("2026-03-02", "Bench press", 60, 8)]

    seen.open("data", athlete="Nia")
    part(seen, "Sets in the store")
    write_into(seen, 7, "9")
    button(seen, "Keep the corrections").click()
    expect(seen.page.get_by_text("1 set corrected.")).to_be_visible()
    seen.settle()
    assert [row[3] for row in stored(store, "Nia")] == [7, 9]
    part(seen, "Bring in a log")
    bring(seen, log)
    expect(seen.page.get_by_text("2 rows read: 0 new sets, 2 already stored, 0 rows set aside.")).to_be_visible()  # neither mistake comes back


def test_an_exercise_is_settled_once_and_can_be_forgotten_again(fresh, visit):
    address, store = fresh
    seen = visit(address, 375)
    seen.open("data")
    bring(seen, "Date,Athlete,Exercise,Reps,kg\n2026-03-02,Ola,Bobble press,8,20\n")
    button(seen, "Store it").click()
    expect(seen.page.get_by_text("1 set stored as import")).to_be_visible()
    seen.settle()
    part(seen, "What waits")
    choose(seen, "Bobble press, 1 set", "dumbbell curl")
    button(seen, "This is it").click()
    expect(seen.page.get_by_text("Bobble press is dumbbell curl from now on")).to_be_visible()
    with reading(store) as con:
        assert con.execute("select exercise from sets where athlete = 'Ola'").fetchall() == [("dumbbell_curl",)]
    seen.page.get_by_text("Settled so far: 1 name").click()
    button(seen, "Forget this").click()
    expect(seen.page.get_by_text("is read by the catalogue alone again")).to_be_visible()
    seen.settle()
    with reading(store) as con:
        assert con.execute("select exercise from sets where athlete = 'Ola'").fetchall() == [(None,)]


def test_a_hostile_exercise_name_is_text_and_asks_for_nothing(visit, own):
    address, store = own
    seen = visit(address)
    seen.open("data")
    bring(seen, f"Date,Athlete,Exercise,Weight (kg),Reps\n2026-03-02,Lou,{HOSTILE},60,8\n2026-03-02,Lou,Bench press,60,8\n")
    button(seen, "Store it").click()
    expect(seen.page.get_by_text("2 sets stored as import")).to_be_visible()
    seen.settle()
    part(seen, "What waits")
    expect(seen.page.get_by_text("for a match")).to_be_visible()
    # a text is drawn after the page has run, and a word joiner keeps some signs from being read as Markdown
    reads = "text => document.querySelector('[data-testid=stMain]').innerText.replaceAll('\\u2060', '').includes(text)"
    seen.page.wait_for_function(reads, arg=HOSTILE)
    for path in pictures.PAGES.values():
        seen.open(path, athlete="Lou")
        assert seen.page.locator(f".katex, [src*='{NOWHERE}'], [href*='{NOWHERE}']").count() == 0
    assert not seen.elsewhere
    assert HOSTILE in {row[1] for row in stored(store, "Lou")}


def test_an_empty_store_leads_to_import(empty, visit):
    seen = visit(empty)
    seen.open()
    seen.page.get_by_role("link", name="Choose a file").click()
    expect(seen.page.locator("[data-testid=stFileUploader]")).to_be_visible()
    seen.settle()


def test_an_empty_store_leads_to_the_sample_and_back(empty, visit):
    seen = visit(empty)
    seen.open()
    button(seen, "Open the sample").click()
    expect(seen.page.get_by_text("This is the sample: invented athletes.")).to_be_visible()
    seen.settle()
    assert len(seen.page.evaluate(pictures.MARKS)) > 0
    seen.page.get_by_role("link", name="Data").first.click()
    expect(seen.page.get_by_text("Files go into your own store.")).to_be_visible()
    expect(seen.page.locator("[data-testid=stFileUploader]")).to_have_count(0)
    button(seen, "Back to my own store").click()
    expect(seen.page.locator("[data-testid=stFileUploader]")).to_be_visible()
    assert asked(seen) == {}
    seen.settle()
