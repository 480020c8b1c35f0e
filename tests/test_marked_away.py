"""A holiday or an illness that was marked over weeks without a set: the page Clients says so, and the log's last week offers to mark them."""

from __future__ import annotations

import doctest
from datetime import date, timedelta

import pytest

from dashboard.measures import marked_days
from dashboard.queries import clients
from dashboard.queries.kept import store_at
from dashboard.queries.load import weeks_since
from dashboard.sentences import marks
from dashboard.standing.refresh import refresh
from etl.store.marked_weeks import mark_week, take_back_mark
from tests.page_runs import all_text, unescaped
from tests.test_stopped import FIRST, STOPPED, TODAY, two  # noqa: F401

LAST_WEEK = FIRST + timedelta(weeks=8)
GAP = [LAST_WEEK + timedelta(weeks=n) for n in range(1, 6)]  # the last of them runs on TODAY


def ida(path, today: date = TODAY) -> clients.Client:
    store = store_at(path)
    return {one.athlete: one for one in clients.clients(store, clients.seen(store, today))}["Ida"]


def mark(path, *weeks: date, as_: str = "holiday") -> None:
    for week in weeks:
        mark_week(path, "Ida", week, as_, today=TODAY)
    refresh(path, TODAY)


def test_whose_whole_gap_is_marked_is_told_as_away_as_marked_and_asks_for_nothing(two):  # noqa: F811
    assert ida(two).group == "first" and ida(two).away
    mark(two, *GAP[:3])
    mark(two, GAP[3], as_="illness")
    found = ida(two)
    assert not found.away and not found.asks and found.group == "rest"
    assert [(reason.kind, reason.text) for reason in found.reasons] == [
        ("away_as_marked", "No set for 33 days, since 5 March 2026: 4 weeks are marked as a holiday and an illness.")]


def test_of_a_gap_that_is_marked_in_part_the_rest_counts(two):  # noqa: F811
    mark(two, *GAP[:2])
    found = ida(two)
    assert found.away and found.group == "first" and found.reasons[0].strength == 33 - 14
    assert found.reasons[0].text == "No set for 33 days, since 5 March 2026; 19 of them are not marked as a holiday or an illness; usual is every 3 days."
    take_back_mark(two, "Ida", GAP[0])
    take_back_mark(two, "Ida", GAP[1])
    mark_week(two, "Ida", GAP[0], "planned_increase", today=TODAY)  # says nothing of why nobody came
    assert ida(two).reasons[0].strength == 33


def test_the_weeks_since_the_last_one_are_known_at_the_last_one_alone(two):  # noqa: F811
    store = store_at(two)
    assert list(weeks_since(store, "Ida", LAST_WEEK, TODAY)) == GAP and not weeks_since(store, "Ida", LAST_WEEK - timedelta(weeks=1), TODAY)
    assert not weeks_since(store, "Bo", FIRST + timedelta(weeks=13), TODAY) and not weeks_since(store, "Ida", LAST_WEEK, STOPPED)
    assert not weeks_since(store, "Ida", LAST_WEEK, TODAY + timedelta(weeks=60))


@pytest.mark.parametrize("page", ["app_pages/this_week.py", "app_pages/load.py"])
def test_the_last_week_offers_to_mark_the_weeks_since_then_and_to_undo_it(two, open_page, monkeypatch, page):  # noqa: F811
    class Day(date):
        @classmethod
        def today(cls) -> date:
            return TODAY

    monkeypatch.setattr("dashboard.app_pages.week_mark.date", Day)
    monkeypatch.setattr("etl.store.marked_weeks.date", Day)
    earlier = open_page(two, page, athlete="Ida", week=(LAST_WEEK - timedelta(weeks=1)).isoformat())
    assert not [box for box in earlier.button if str(box.key).startswith("since_")]
    run = open_page(two, page, athlete="Ida", week=LAST_WEEK.isoformat())
    assert "The 5 weeks since then, of 9 March 2026 to the one of 6 April 2026, hold no set so far." in unescaped(all_text(run))
    run.multiselect[0].set_value(GAP[:4]).run()
    run.button(key="since_holiday").click().run()
    assert not run.exception and not ida(two).away
    assert "4 weeks are marked as a holiday: those of 9 March 2026, 16 March 2026, 23 March 2026 and 30 March 2026." in unescaped(run.success[0].value)
    run.button(key="undo").click().run()
    assert not run.exception and ida(two).away and not any(weeks_since(store_at(two), "Ida", LAST_WEEK, TODAY).values())
    run.button(key="since_illness").click().run()
    assert weeks_since(store_at(two), "Ida", LAST_WEEK, TODAY) == dict.fromkeys(GAP[:4], "illness") | {GAP[4]: None}  # those that were picked
    run.button(key="since_back").click().run()
    assert not run.exception and not any(weeks_since(store_at(two), "Ida", LAST_WEEK, TODAY).values())


@pytest.mark.parametrize("module", [marks, marked_days], ids=lambda module: module.__name__)
def test_examples_in_the_docstrings_hold(module):
    found = doctest.testmod(module)
    assert found.attempted and not found.failed
