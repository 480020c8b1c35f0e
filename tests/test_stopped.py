"""Somebody who has stopped: their report, their ribbon and the page Clients say so, each against the athlete's own rhythm."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from pathlib import Path

import pytest

from dashboard.measures.rhythm import is_away
from dashboard.queries import clients, presented
from dashboard.queries.kept import store_at
from dashboard.report.content import gather
from dashboard.report.html import html
from dashboard.sentences import clients as say
from dashboard.sentences.plain_parts import PLACES
from dashboard.standing.refresh import refresh
from etl import tables
from etl.settings import RULES
from tests.logs import bring
from tests.page_runs import all_text, unescaped

FIRST = date(2026, 1, 5)  # a Monday
STOPPED = FIRST + timedelta(weeks=8, days=3)  # Ida's last set, a Thursday
TODAY = FIRST + timedelta(weeks=13, days=1)  # a Tuesday
LAST_FULL = FIRST + timedelta(weeks=12)


def log(athlete: str, days: list[date]) -> str:
    return "".join(f"{when.isoformat()},{athlete},Bench press,60,{reps}\n" for when in days for reps in (8, 8, 7))


def twice_a_week(until: date) -> list[date]:
    return [when for week in range(20) for when in (FIRST + timedelta(weeks=week), FIRST + timedelta(weeks=week, days=3)) if when <= until]


@pytest.fixture
def two(store: Path) -> Path:
    """Ida stopped in the ninth week; Bo trains on, twice a week."""
    bring(store, "Date,Athlete,Exercise,Load (kg),Reps\n" + log("Ida", twice_a_week(STOPPED)) + log("Bo", twice_a_week(TODAY)))
    refresh(store, TODAY)
    return store


def test_a_report_of_now_ends_with_the_last_full_week_and_says_since_when_there_is_nothing(two):
    store = store_at(two)
    week = presented.last_week(store, "Ida", TODAY)
    assert week == LAST_FULL == presented.last_week(store, "Bo", TODAY)
    told = gather(store, "Ida", week, today=TODAY)
    assert told.since == "No set since 5 March 2026." and told.done.startswith("No training last week") and told.plan.title == "This week"
    assert told.over == "16 sessions in the last 12 weeks, with training in 8 of them."
    assert [told.watch.lines, told.plan.lines] == [("The first weeks back go easier.",), ("Begin with about 50\xa0% of what was usual, and go up from week to week.",)]
    assert len(re.findall(r"\d+ \w+ 0 hard sets, usual [\d.]+, away", told.figures[0].words)) == 4
    assert "since 5 March" in html(told)
    assert not gather(store, "Bo", week, today=TODAY).since


def test_a_week_that_is_asked_for_keeps_its_meaning(two):
    told = gather(store_at(two), "Ida", FIRST + timedelta(weeks=8))
    assert not told.since and told.done.startswith("2 sessions and 6 hard sets this week")


def test_where_nobody_has_a_set_so_late_a_report_ends_with_the_newest_of_all_and_says_how_old_it_is(two):
    late = TODAY + timedelta(weeks=30)
    refresh(two, late)
    store = store_at(two)
    newest = FIRST + timedelta(weeks=13)
    assert presented.last_week(store, "Bo", late) == presented.last_week(store, "Ida", late) == newest
    told = gather(store, "Bo", newest, today=late)
    assert told.since == "No set since 6 April 2026." and "in the last week of the log" in told.done


def test_the_clients_page_and_the_command_end_there_by_themselves(two, open_page, run, monkeypatch, tmp_path):
    at_last = presented.last_week
    for module in ("dashboard.choices", "dashboard.queries.presented", "dashboard.command.report", "dashboard.report.of_all"):
        monkeypatch.setattr(f"{module}.last_week", lambda store, athlete, _: at_last(store, athlete, TODAY))
    page = open_page(two, "app_pages/presentation.py", athlete="Ida")
    assert not page.exception and "No set since 5 March 2026." in unescaped(all_text(page))
    assert page.query_params["week"] == LAST_FULL.isoformat() or page.query_params["week"] == [LAST_FULL.isoformat()]
    asked = open_page(two, "app_pages/presentation.py", athlete="Ida", week=(FIRST + timedelta(weeks=7)).isoformat())
    assert "No set since" not in unescaped(all_text(asked))
    monkeypatch.chdir(tmp_path)
    for words in (("--athlete", "Ida"), ("--all",)):
        assert run("report", *words, "--out", f"given{len(words)}", "--as", "html")[0] == 0
        assert "No set since 5 March 2026." in (tmp_path / f"given{len(words)}" / f"Ida_{LAST_FULL.isoformat()}.html").read_text("utf-8")


def test_not_trained_is_against_the_athletes_own_rhythm(two):
    store = store_at(two)
    found = {one.athlete: one for one in clients.clients(store, clients.seen(store, TODAY))}
    assert found["Ida"].away and not found["Bo"].away
    assert found["Ida"].reasons[0].text == f"No set for {(TODAY - STOPPED).days} days, since 5 March 2026; usual is every 3 days."
    later = clients.seen(store, TODAY + timedelta(days=5))
    assert later.today and not {one.athlete: one for one in clients.clients(store, later)}["Bo"].away
    assert clients.away_since(store, "Ida", FIRST + timedelta(weeks=8), TODAY) == (TODAY - STOPPED).days
    assert clients.away_since(store, "Ida", FIRST + timedelta(weeks=7), TODAY) is None and clients.away_since(store, "Bo", LAST_FULL, TODAY) is None


def test_a_rhythm_needs_some_intervals_and_somebody_who_trains_seldom_is_waited_for():
    assert is_away(RULES.away_days, 14.0, 20.0, RULES.rhythm_least - 1) and not is_away(RULES.away_days - 1, 1.0, 1.0, 40)
    assert not is_away(7, 3.0, 4.0, 20)  # twice a week, and one session was left out
    assert not is_away(28, 7.0, 21.0, 10) and is_away(29, 7.0, 21.0, 10)


def test_an_old_store_says_so_once_and_counts_to_the_end_of_its_last_week(two):
    store = store_at(two)
    late = clients.newest_day(store) + timedelta(days=RULES.log_old_days)
    at = clients.seen(store, late)
    everyone = clients.clients(store, at)
    assert not at.today and [one.athlete for one in everyone if one.away] == ["Ida"]
    assert clients.summary(store, everyone, at, late)[1].startswith("No log is newer than 6 April 2026: bring the newest in first.")


def test_a_week_that_is_asked_for_counts_days_to_its_end(two):
    store = store_at(two)
    at = clients.seen(store, TODAY, clients.weeks_to_see(store)[0])
    assert at.until == at.week + timedelta(days=6) and not at.today


def test_many_flags_of_one_rise_name_it():
    assert say.flags(["Whole body: 90 hard sets.", "Lats: 20."], 1) == "Whole body: 90 hard sets. The same rise shows in 1 part (each on the page Load)."


def test_every_part_has_a_place_in_everyday_words():
    assert set(PLACES) == set(tables.parts()["part_id"]) and all(PLACES.values())


def test_the_page_of_the_last_week_begins_the_return_as_the_report_does(two, open_page):
    """By the real day, which is long after: what the week by itself asked for is folded up below."""
    page = open_page(two, athlete="Ida", week=(FIRST + timedelta(weeks=8)).isoformat())
    text = unescaped(all_text(page))
    assert not page.exception and "What to change when training begins again" in [unescaped(one.value) for one in page.header]
    assert re.search(r"Begin with about 50\s% of what was usual", text) and re.search(r"After \d+ days without a set: begin with about 50", text)
    assert any("What this week by itself asked for" in one.proto.body for one in page.get("html"))
    earlier = open_page(two, athlete="Ida", week=(FIRST + timedelta(weeks=7)).isoformat())
    assert "What to change next week" in [unescaped(one.value) for one in earlier.header]


def test_reports_of_all_for_a_week_say_who_is_left_out_and_why(two, run, tmp_path):
    later = FIRST + timedelta(weeks=10)
    status, out, err = run("report", "--all", "--week", later.isoformat(), "--out", str(tmp_path / "words"), "--as", "html")
    assert status == 0 and out.split() == [str(tmp_path / "words" / f"Bo_{later}.html")]
    assert "Left out: Ida (the log ends with the week of 2 March 2026)." in err
    status, out, _ = run("report", "--all", "--week", later.isoformat(), "--out", str(tmp_path / "json"), "--as", "html", "--json")
    assert status == 0 and json.loads(out)["left_out"] == [{"athlete": "Ida", "reason": "the log ends with the week of 2 March 2026"}]
    everybody = run("report", "--all", "--week", FIRST.isoformat(), "--out", str(tmp_path / "both"), "--as", "html")
    assert everybody[0] == 0 and "Left out" not in everybody[2]
