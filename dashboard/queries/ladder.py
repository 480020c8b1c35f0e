"""Progressions: which ladders an athlete has climbed, and the best sets of each step in time."""

from __future__ import annotations

from datetime import date

import pandas as pd

from dashboard.queries.kept import Store, rows
from etl import tables

LEAST_STEPS = 2
BESTS = "select * from kept_bests where athlete = ? and date < ?::date + 7 order by date"


def ladders(store: Store, athlete: str, week: date) -> dict[str, str]:
    """Ladder id -> its name, for those of which at least two steps had been done by that week; the one with most steps first."""
    done = rows(store, BESTS, athlete, week)[["exercise"]].drop_duplicates().merge(_steps(), on="exercise")
    counts = done.groupby("ladder")["step"].nunique()
    names = dict(zip(tables.ladders()["ladder_id"], tables.ladders()["name"], strict=True))
    most = counts[counts >= LEAST_STEPS].sort_values(ascending=False, kind="stable")
    return {ladder: names[ladder] for ladder in most.index}


def climb(store: Store, athlete: str, ladder: str, week: date) -> pd.DataFrame:
    """One row per session and step of a ladder: kept_bests rows with `step`, `name` and `loads` (how many loads the step was
    done with), by step and date.

    Each step has one measure: seconds where it is held; repetitions where it was done at one load; else the estimate, which
    puts several loads on one scale; and where there is none, the most repetitions of each session at whatever load.
    """
    found = rows(store, BESTS, athlete, week).merge(_steps(), on="exercise")
    found = found[found["ladder"] == ladder]
    if found.empty:
        return found.assign(loads=0)
    chosen = pd.concat([_one_measure(own) for _, own in found.groupby("step")])
    return chosen.sort_values(["step", "date"], kind="stable", ignore_index=True)


def _one_measure(own: pd.DataFrame) -> pd.DataFrame:
    kinds, loads = set(own["measure"]), own.loc[own["measure"] == "reps", "series"].nunique()
    estimate = sorted(kinds - {"hold", "reps"})
    measure = "hold" if "hold" in kinds else "reps" if "reps" in kinds and (loads <= 1 or not estimate) else estimate[0]
    best = own[own["measure"] == measure].sort_values(["date", "value"], kind="stable").drop_duplicates("date", keep="last")
    return best.assign(loads=loads)


def _steps() -> pd.DataFrame:
    known = tables.exercises()
    known = known[known["ladder_id"] != ""]
    return pd.DataFrame({"exercise": known["exercise_id"], "ladder": known["ladder_id"], "step": known["ladder_step"], "name": known["name"]})
