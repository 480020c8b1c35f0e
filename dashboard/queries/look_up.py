"""One day as it was logged, and one exercise: what the store holds beside the counted sets."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import pandas as pd

from dashboard.queries.felt import FELT
from dashboard.queries.kept import Store, rows
from dashboard.queries.words import called, with_called

AS_LOGGED = "select set_id, rest_s, tempo, note from sets where athlete = ? and date between ? and ?"
# The best of a day beats every day before it; the first day of a series beats nothing.
BESTS = """
with in_time as (
    select *, max(value) over (partition by exercise, measure, series order by date rows between unbounded preceding and 1 preceding) as before
    from kept_bests where athlete = ? and counted and date <= ?
)
select * from in_time where date = ? and value > before order by value / before desc
"""
# A page may be shown to the person who trains: what is private stays where it was written.
SAID = f"""
with said as (
    select date, kind, place, score, text, subject from {FELT} where athlete = ?1 and not private
    union all
    select date, 'note', null, null, note, null from days where athlete = ?1 and note is not null
    union all
    select date, kind, null, null, text, subject from notes where athlete = ?1 and kind = 'note' and not private
)
select distinct kind, coalesce(place, '') as place, score, text, coalesce(subject, '') as subject from said where date = ?2 order by kind, place, text
"""
DAY = """
select max(body_mass_kg) as body_mass_kg, max(session_rpe) as session_rpe, max(minutes) as minutes
from (select date, body_mass_kg, session_rpe, minutes from sets where athlete = ?1 union all
      select date, body_mass_kg, session_rpe, minutes from days where athlete = ?1)
where date = ?2
"""


def as_logged(store: Store, athlete: str, sets: pd.DataFrame) -> pd.DataFrame:
    """The rows of `sets` (set_id, date, and what was counted) with what else was logged with them: rest_s, tempo, note; `called`, the exercise in words."""
    if sets.empty:
        return sets.assign(rest_s=None, tempo=None, note=None, called="")
    beside = rows(store, AS_LOGGED, athlete, sets["date"].min().date(), sets["date"].max().date())
    found = sets.merge(beside, on="set_id", how="left")
    written = found["exercise_as_written"].astype(object)
    return found.assign(called=[called(exercise) if isinstance(exercise, str) else text for exercise, text in zip(found["exercise"], written, strict=True)])


def bests_of(store: Store, athlete: str, day: date, exercises: Sequence[str]) -> pd.DataFrame:
    """Values of that day that none before it in the trend had reached, of these exercises: kept_bests rows with `before` and `name`, the largest gain
    first. Sets that count in no trend may have reached one as lifted: `standing.records.new` leaves these out.
    """
    found = rows(store, BESTS, athlete, day, day)
    return found[found["exercise"].isin(exercises)].assign(name=lambda own: own["exercise"].map(called)).reset_index(drop=True)


def said_of(store: Store, athlete: str, day: date) -> pd.DataFrame:
    """Pain and notes of that day: kind, place, score (0-10), text, called (a word, '' for the day as a whole)."""
    return with_called(rows(store, SAID, athlete, day))


def day_of(store: Store, athlete: str, day: date) -> pd.Series:
    """body_mass_kg, session_rpe (0-10) and minutes of that day; missing where nothing was logged."""
    return rows(store, DAY, athlete, day).iloc[0]
