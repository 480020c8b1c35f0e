"""Pain and soreness wherever they stand: in a set, in a row of the day, in a note beside the log."""

from __future__ import annotations

from datetime import date, timedelta

import pandas as pd

from etl.notation import may_be_one_place

# A relation for a query to select from: athlete, date, kind (pain, soreness), place, score (0-10), subject (exercise or part, null for the day),
# text, private, beside (whether it is a note beside the log), planned (whether it stands at a set that is planned).
FELT = """(
    select athlete, date, 'pain' as kind, pain_place as place, pain_score as score, exercise as subject, '' as text, false as private, false as beside, planned
    from sets where pain_place is not null
    union all
    select athlete, date, 'pain', pain_place, pain_score, null, '', false, false, false from days where pain_place is not null
    union all
    select athlete, date, kind, place, score, nullif(subject, ''), text, private, true, false from notes where kind <> 'note'
)"""


def weeks_running(felt: pd.DataFrame) -> list[int]:
    """Of each row (date, kind, place, of one athlete) the weeks running, up to its own, that have a row of the same kind and place."""
    week = (felt["date"] - pd.to_timedelta(felt["date"].dt.day_of_week, unit="D")).dt.date.tolist()
    noted = list(zip(week, felt["kind"], felt["place"].fillna(""), strict=True))
    return [_back([when for when, kind, place in noted if kind == own[1] and may_be_one_place(place, own[2])], own[0]) for own in noted]


def _back(weeks: list[date], last: date) -> int:
    """How many weeks running, up to `last`, are among these Mondays.

    >>> _back([date(2026, 3, 2), date(2026, 3, 9), date(2026, 2, 16)], date(2026, 3, 9))
    2
    """
    count = 0
    while last - timedelta(weeks=count) in weeks:
        count += 1
    return count
