"""Which week a page opens with: the last full one, but on a Sunday the one that ends on it, which its owner sits down to review."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from dashboard.queries.kept import store_at
from dashboard.queries.people import week_to_open, week_to_show
from dashboard.standing.refresh import refresh
from tests.logs import bring

SUNDAY = date(2026, 11, 1)
RUNNING, BEFORE = date(2026, 10, 26), date(2026, 10, 19)


def log(last: date) -> str:
    days = [BEFORE - timedelta(weeks=back) for back in range(5)] + [last]
    return "Date,Athlete,Exercise,Load,Reps\n" + "".join(f"{day},Ida,Bench press,60 kg,8\n" for day in days for _ in range(3))


@pytest.mark.parametrize(("last", "today", "week"), [
    (RUNNING + timedelta(days=4), SUNDAY, RUNNING), (RUNNING + timedelta(days=4), SUNDAY - timedelta(days=1), BEFORE), (BEFORE + timedelta(days=2), SUNDAY, BEFORE),
    (RUNNING + timedelta(days=4), SUNDAY + timedelta(days=1), RUNNING)], ids=["on its Sunday", "the day before", "no session in it", "when it is over"])
def test_a_sunday_opens_the_week_that_ends_on_it_once_it_had_a_session(store: Path, last: date, today: date, week: date):
    bring(store, log(last))
    refresh(store, today=today)
    assert week_to_open(store_at(store), "Ida", today) == week
    assert week_to_show(store_at(store), "Ida") == (BEFORE if today <= SUNDAY else week)
