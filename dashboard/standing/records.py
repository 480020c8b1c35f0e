"""One exercise of one athlete, looked up: how often, since when, and its bests as they were lifted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import pandas as pd

from dashboard.measures.records import heaviest, most_at_load
from dashboard.standing.traced import EPOCH, Sets


@dataclass(frozen=True)
class Records:
    """days: on how many it was done, sets, first and last day; and as `measures.records` gives them, each empty where it says nothing:
    heaviest (by repetitions), most_reps (at each load), holds (at each load). left_out: sets that no table holds.
    """

    days: int
    sets: int
    first: date
    last: date
    heaviest: pd.DataFrame
    most_reps: pd.DataFrame
    holds: pd.DataFrame
    left_out: int


def done(sets: Sets, until: date) -> list[str]:
    """The exercises of the catalogue that were done up to a day, the most often done first."""
    rows = sets.rows[sets.rows["day"] <= (until - EPOCH).days]
    return rows["exercise"].dropna().value_counts().index.tolist()


def records(sets: Sets, exercise: str, until: date) -> Records | None:
    """The exercise up to a day; None where it was not done by then.

    Bests are of sets over the full range that are no warm-ups. A load that is estimated or a band's, and one that was not written, is none: a
    missing load counts as none added where the body is lifted.
    """
    rows = sets.rows
    own = rows[(rows["exercise"] == exercise) & (rows["day"] <= (until - EPOCH).days)]
    if own.empty:
        return None
    load = own["load_kg"].where(~(own["load_kg"].isna() & own["by_body"].astype(bool)), 0.0)
    counted = (own["kind"] != "warm_up") & (own["range"] == "full") & load.notna() & ~own["load_estimated"].eq(True) & ~own["banded"]
    best = own.assign(load_kg=load)[counted]
    held = best["hold_s"] > 0
    lifted = best[~held & (best["reps"] >= 1)]
    # With a single load there is nothing to choose between: the most repetitions at it say it all.
    loads = heaviest(lifted) if lifted["load_kg"].nunique() > 1 else heaviest(lifted.iloc[:0])
    return Records(own["day"].nunique(), len(own), own["date"].iloc[0].date(), own["date"].iloc[-1].date(), loads, most_at_load(lifted, "reps"),
                   most_at_load(best[held], "hold_s"), int(len(own) - len(lifted) - held.sum()))
