"""How many flags of a week are told one by one: six, in an easy week three; the rest is counted by kind and folded up, and nothing is lost."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from pathlib import Path

import pandas as pd
import pytest

from dashboard.app_pages import week_parts
from dashboard.queries import week as week_of
from dashboard.queries.kept import store_at
from dashboard.queries.review import flags, review
from dashboard.standing.refresh import refresh
from etl.importing import Answers, keep, understand
from etl.store.athletes import say
from etl.store.marked_weeks import EASY, mark_week
from tests.logs import bring
from tests.page_runs import all_text, folded, nodes, unescaped

TODAY = date(2026, 10, 26)  # a Monday: the week of the 19th is over
LAST = date(2026, 10, 19)
SIDED = ("Dumbbell row", "Concentration curl", "Dumbbell kickback", "Single-arm dumbbell press", "Single-arm overhead extension", "Dumbbell preacher curl",
         "Side-lying lateral raise", "Kettlebell press")


@pytest.fixture
def one_sided(store: Path) -> Path:
    """Eight exercises in which the left side presses a quarter less, twice a week for ten weeks."""
    days = [LAST - timedelta(weeks=back) + timedelta(days=d) for back in range(9, -1, -1) for d in (0, 3)]
    bring(store, "Date,Athlete,Exercise,Load (kg),Reps,RIR,Side\n" + "".join(
        f"{day},Ida,{name},{load},8,2,{side}\n" for day in days for name in SIDED for side, load in (("left", 15), ("right", 20))))
    say(store, "Ida", focus=["vasti"])  # which nobody trains: under its band
    refresh(store, today=TODAY)
    return store


def of_kinds(store: Path, week: date = LAST) -> dict[str, int]:
    return week_of.flags(store_at(store), "Ida", week)["kind"].value_counts().to_dict()


def bullets(page) -> list[str]:
    """The flags that the page tells one by one."""
    heads = ("**Look at this first**", "**Worth a look**", "**For your notes**")
    return [line for block in page.markdown if block.value.startswith(heads) for line in block.value.splitlines()[1:]]


def summaries(page) -> list[str]:
    return [found[1] for node in nodes(page.main) if node.type == "html" and (found := re.search("<summary>(.*?)</summary>", node.proto.body))]


def links(page) -> list[str]:
    return [node.proto.label for node in nodes(page.main) if node.type == "page_link"]


def test_six_flags_are_told_one_by_one_and_the_rest_is_folded(one_sided: Path, run, open_page):
    assert of_kinds(one_sided) == {"side_difference": 8, "below_band": 1}
    page = open_page(one_sided, athlete="Ida", week=str(LAST))
    assert len(bullets(page)) == 6 and summaries(page) == ["3 more: 3 side differences"] and len(folded(page)) == 3
    told = unescaped("\n".join([*bullets(page), *folded(page)]))
    messages = week_of.flags(store_at(one_sided), "Ida", LAST)["message"]
    assert all(message in told for message in messages) and "Every flag so far →" in links(page)
    words = run("review", "--athlete", "Ida")[1]
    assert words.count("  [review] ") == 6 and "  and 3 more: 3 side differences (evenset flags lists all)" in words
    assert len(json.loads(run("review", "--athlete", "Ida", "--json")[1])["flags"]) == 9, "a program is given all"


@pytest.mark.parametrize("mark", EASY)
def test_in_an_easy_week_three_are_told_and_no_part_is_under_its_band(one_sided: Path, run, open_page, mark: str):
    mark_week(one_sided, "Ida", LAST, mark, today=TODAY)
    refresh(one_sided, today=TODAY)
    assert of_kinds(one_sided) == {"side_difference": 8} and of_kinds(one_sided, LAST - timedelta(weeks=1))["below_band"] == 1
    assert [f["kind"] for f in review(store_at(one_sided), "Ida", LAST)["flags"]] == ["side_difference"] * 8
    assert [f["until"] for f in flags(store_at(one_sided), "Ida") if f["kind"] == "below_band"] == [None], "the episode goes on"
    page = open_page(one_sided, athlete="Ida", week=str(LAST))
    assert len(bullets(page)) == 3 and summaries(page) == ["5 more: 5 side differences"] and len(folded(page)) == 5
    assert "Every flag so far →" in links(page) and "under the low end" not in unescaped(all_text(page))
    words = run("review", "--athlete", "Ida")[1]
    assert words.count("  [review] ") == 3 and "  and 5 more: 5 side differences (evenset flags lists all)" in words


def test_a_week_with_few_flags_folds_nothing(one_sided: Path, open_page):
    page = open_page(one_sided, athlete="Ida", week=str(LAST - timedelta(weeks=8)))
    assert not summaries(page) and "Every flag so far →" not in links(page)


def test_new_exercises_of_a_week_are_one_line(store: Path, open_page):
    """Their message names all of them, and stands once."""
    days = [LAST - timedelta(weeks=back) + timedelta(days=d) for back in range(10, -1, -1) for d in (0, 3)]
    rows = [f"{day},Ida,{name},20,8,2\n" for day in days for name in ("Barbell row", *(SIDED[:4] if day >= LAST else ())) for _ in range(3)]
    bring(store, "Date,Athlete,Exercise,Load (kg),Reps,RIR\n" + "".join(rows))
    refresh(store, today=TODAY)
    assert of_kinds(store)["first_exposure"] == 4
    assert sum("New or back after eight weeks" in line for line in unescaped("\n".join(bullets(open_page(store, athlete="Ida", week=str(LAST))))).splitlines()) == 1


def flag(kind: str, subject: str, level: str, message: str = "") -> dict:
    return {"kind": kind, "subject": subject, "called": subject, "level": level, "message": message or f"{subject}: {kind}."}


@pytest.mark.parametrize("easy", [False, True])
def test_alerts_come_first_and_every_flag_is_told_or_counted(easy: bool):
    new = [flag("first_exposure", one, "note", "New or back: both.") for one in ("a", "b")]
    low = [flag("below_band", one, "review") for one in "cdefg"]
    given = pd.DataFrame([*new, *low, *(flag("side_difference", str(n), "review") for n in range(4)), flag("large_spike", "whole_body", "alert")])
    told, rest = week_of.first_told(given, easy)
    assert told["level"].tolist() == ["alert", *["review"] * (2 if easy else 5)] and len(told) == (3 if easy else 6)
    assert told["flags"].sum() + sum(week_of.counted_by_kind(rest).values()) == len(given)
    assert week_of.counted_by_kind(rest) == ({"side_difference": 2, "below_band": 5, "first_exposure": 2} if easy else {"first_exposure": 2})
    nothing = week_of.first_told(given.iloc[:0], easy)
    assert [len(one) for one in nothing] == [0, 0] and week_of.counted_by_kind(nothing[1]) == {}


@pytest.mark.parametrize(("kind", "word"), [("plateau", "Standing still: "), ("declining", "Falling: ")])
def test_more_than_two_of_a_verdict_are_one_line_with_every_name(kind: str, word: str):
    two = pd.DataFrame([flag(kind, one, "review") for one in ("lats", "abs")])
    assert week_of.flag_messages(two)["message"].tolist() == two["message"].tolist()
    (line,) = week_of.flag_messages(pd.DataFrame([*two.to_dict("records"), flag(kind, "calf, upper", "review")])).itertuples()
    assert line.message.startswith(f"{word}lats; abs; calf, upper. ") and line.flags == 3


def test_of_many_entries_to_check_the_rest_is_folded(one_sided: Path, monkeypatch: pytest.MonkeyPatch):
    shown, kept = [], []
    monkeypatch.setattr(week_parts.st, "markdown", shown.append)
    monkeypatch.setattr(week_parts.st, "header", shown.append)
    monkeypatch.setattr(week_parts.st, "page_link", lambda *_, **__: None)
    monkeypatch.setattr(week_parts.page, "folded", lambda title, lines: kept.extend([title, *lines]))
    choice = week_parts.Choice(store_at(one_sided), "Ida", LAST, None)
    odd = pd.DataFrame([flag("check_entry", f"curl {n}", "note", f"Curl {n}: 20 kg is 2.2 times the usual.") for n in range(9)])
    week_parts.to_look_at(choice, {"unmatched_sets": 2}, odd)
    lines = shown[1].splitlines()
    assert len(lines) == week_parts.ENTRIES_TOLD and "2 sets of this week" in lines[0].replace("\\", "")
    assert kept == ["4 more: 4 entries to check", *((f"Curl {n}", "20 kg is 2.2 times the usual.") for n in range(5, 9))]


def test_a_week_that_still_runs_is_not_judged_on_load(open_page, store):
    """Sixteen hard sets in each of nine weeks and fourteen in today's, which is said as so far until it is over, as on This week."""
    running = date.today() - timedelta(days=date.today().weekday())
    before = running - timedelta(weeks=1)
    days = [running - timedelta(weeks=back) for back in range(9, 0, -1)]
    rows = "".join(f"{day},Ida,Dumbbell row,20,8,2\n" * 16 for day in days) + f"{running},Ida,Dumbbell row,20,8,2\n" * 14
    keep(store, understand([("log.csv", f"Date,Athlete,Exercise,Load (kg),Reps,RIR\n{rows}".encode())], Answers()))
    refresh(store)
    for week, title, told in ((running, "Whole body: 14 hard sets so far, usual 16 in a whole week; changes of load are judged at its end",
                               "The week still runs; changes of load are judged at its end."),
                              (before, "Whole body: 16 hard sets, usual 16: no jump", "No change of load stood out.")):
        run = open_page(store, "app_pages/load.py", athlete="Ida")
        run.selectbox(key="chosen_week").set_value(week).run()
        run.selectbox(key="of_week").set_value(week.isoformat()).run()
        assert not run.exception and unescaped(run.title[0].value) == title
        assert told in unescaped(all_text(run))
    weekly = unescaped(all_text(open_page(store, athlete="Ida", week=running.isoformat())))
    assert "14 hard sets so far; usual is 16 in a whole week. Changes of load are judged at its end." in weekly
