"""Left against right over time: what each week's last session showed."""

from __future__ import annotations

from datetime import date

import pandas as pd

from dashboard.measures.balance import side_difference_pct
from dashboard.queries.kept import Store, rows
from dashboard.queries.words import called
from etl.settings import RULES

HISTORY = "select * from kept_sides where athlete = ? and week <= ? order by exercise, week"
LEAST_WEEKS, LEAST_PCT = 4, 1.0


def side_history(store: Store, athlete: str, week: date) -> pd.DataFrame:
    """One row per week and exercise done on both sides in that week's last eight: kept_sides rows with `session_pct` (that of the week's
    last session, nan without one), `name`, and `not_drawn`: the weeks that were compared by another measure than now, which are
    left out; exercises with the largest difference now first.

    An exercise is left out where it was not done on both sides lately, has fewer than four weeks with a session, or where no session
    showed a difference: that is said in a word and needs no picture.
    """
    found = rows(store, HISTORY, athlete, week)
    now = found[found["week"] == pd.Timestamp(week)].set_index("exercise")
    found = found[found["exercise"].isin(now.index)]
    same = found["measure"] == found["exercise"].map(now["measure"])
    other = (~same).groupby(found["exercise"]).sum()
    found = found[same].reset_index(drop=True)
    # A week without a session repeats the last one.
    new = (found["date"] >= found["week"]).fillna(False)
    own = side_difference_pct(found["left_value"], found["right_value"])
    found = found.assign(session_pct=pd.Series(own, index=found.index).where(new), name=found["exercise"].map(called), not_drawn=found["exercise"].map(other))
    by = found.groupby("exercise")["session_pct"]
    drawn = (by.count() >= LEAST_WEEKS) & (by.agg(lambda own: own.abs().max()) >= LEAST_PCT)
    order = now["difference_pct"].abs().sort_values(ascending=False).index
    place = {exercise: i for i, exercise in enumerate(e for e in order if drawn.get(e, False))}
    return found[found["exercise"].isin(place)].sort_values("exercise", key=lambda e: e.map(place), kind="stable", ignore_index=True)


def limit_pct() -> float:
    """The difference from which one is raised, %."""
    return RULES.side_pct
