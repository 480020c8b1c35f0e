"""Left against right over time: what each week's last session showed."""

from __future__ import annotations

from datetime import date

import pandas as pd

from dashboard.measures.balance import side_difference_pct
from dashboard.queries.kept import Store, rows
from dashboard.queries.words import called
from etl.settings import RULES

# A week without a session of its own repeats the last one.
HISTORY = """
with sessions as (
    select distinct exercise, date_trunc('week', date)::date as week from sets where athlete = ? and side in ('left', 'right') and not planned
)
select k.*, s.exercise is not null as trained
from kept_sides k
left join sessions s on s.exercise = k.exercise and s.week = k.week
where k.athlete = ? and k.week <= ?
order by k.exercise, k.week
"""
LEAST_WEEKS, LEAST_PCT = 4, 1.0


def side_history(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """One row per week and exercise done on both sides in that week's last eight: kept_sides rows with `session_pct` (that of the week's
    last session, nan without one) and `name`; exercises with the largest difference now first.

    An exercise is left out where it was not done on both sides lately, has fewer than four weeks with a session, or where no session
    showed a difference: that is said in a word and needs no picture.
    """
    found = rows(store, HISTORY, athlete, athlete, week)
    pair = found[["exercise", "left_value", "right_value"]]
    # Sets that were written under another name count in this exercise too; then only a change of values shows the session.
    new = found["trained"] | pair.ne(pair.shift()).any(axis=1)
    own = side_difference_pct(found["left_value"], found["right_value"])
    found = found.assign(session_pct=pd.Series(own, index=found.index).where(new), name=found["exercise"].map(called))
    now = found[found["week"] == pd.Timestamp(week)].set_index("exercise")["difference_pct"].abs()
    by = found.groupby("exercise")["session_pct"]
    drawn = (by.count() >= LEAST_WEEKS) & (by.agg(lambda own: own.abs().max()) >= LEAST_PCT)
    shown = [exercise for exercise in now.sort_values(ascending=False).index if drawn[exercise]]
    place = {exercise: i for i, exercise in enumerate(shown)}
    return found[found["exercise"].isin(shown)].sort_values("exercise", key=lambda e: e.map(place), kind="stable", ignore_index=True)


def limit_pct() -> float:
    """The difference from which one is raised, %."""
    return RULES.side_pct
