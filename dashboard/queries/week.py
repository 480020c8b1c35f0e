"""One week of one athlete: what was done, what was flagged, what to change."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pandas as pd

from dashboard.queries.kept import Store, rows
from dashboard.queries.words import called

WEEK = "select * from kept_weeks where athlete = ? and week = ?"
FLAGS = """
select * from kept_flags
where athlete = ? and week <= ? and (until is null or until >= ?)
order by case level when 'alert' then 0 when 'review' then 1 else 2 end, week desc, kind, subject
"""
ALL_FLAGS = "select * from kept_flags where athlete = ? and week <= ? order by week desc, kind, subject"
NEXT = "select * from kept_next where athlete = ? and week = ? order by position"
PAIN = """
select date, pain_place, max(pain_score) as pain_score
from (
    select athlete, date, pain_place, pain_score from sets
    union all
    select athlete, date, pain_place, pain_score from days
)
where athlete = ? and date between ? and ?::date + 6 and pain_place is not null
group by date, pain_place order by date
"""


def done(store: Store, athlete: str, week: date) -> dict[str, Any]:
    """The week's row as a dict: sessions, hard_sets, usual_hard_sets and the rest; None or NaN where unknown."""
    return rows(store, WEEK, athlete, week).iloc[0].to_dict()


def flags(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """The flags that hold in that week, alerts first; `called` is the subject in words, `numbers` a dict."""
    return _readable(rows(store, FLAGS, athlete, week, week))


def flags_so_far(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """Each flag that the log had raised by that week, newest first."""
    return _readable(rows(store, ALL_FLAGS, athlete, week))


def following(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """What to change in the week after, in order: subject, called, action, reason."""
    found = rows(store, NEXT, athlete, week)
    return found.assign(called=found["subject"].map(called))


def pain(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """Where pain was noted in that week: date, pain_place, pain_score (0-10)."""
    return rows(store, PAIN, athlete, week, week)


def _readable(found: pd.DataFrame) -> pd.DataFrame:
    numbers = found["numbers"].map(lambda text: json.loads(text) if isinstance(text, str) and text else {})
    return found.assign(called=found["subject"].map(called), numbers=numbers.astype(object))
