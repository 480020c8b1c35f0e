"""One exercise of one athlete, looked up: how often, since when, and its bests as they were lifted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
import pandas as pd

from dashboard.measures.records import equalled, heaviest, most_at_load
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


def new(sets: Sets, bests: pd.DataFrame, day: date) -> pd.DataFrame:
    """Of a day's bests those that no work set of an earlier day had equalled or beaten as lifted, whether that one counted in a trend or not.

    bests: exercise, measure, load_kg, reps, hold_s, rir (in reserve) of the set that each is of, as `queries.look_up.bests_of` gives them. Compared
    are work sets over the full range of the same exercise and side: with a band only with those with one, a load that is guessed only with the
    same thing, a hold only with its variant.
    """
    rows = sets.rows[sets.rows["exercise"].isin(bests["exercise"]) & (sets.rows["kind"] != "warm_up")]
    thing = np.where(rows["load_estimated"].eq(True), rows["exercise_as_written"].astype(object), np.where(rows["banded"], "band", ""))
    rows = rows.assign(load_kg=rows["load_kg"].fillna(0.0).round(3), thing=thing, variant=rows["modifiers"].fillna(""))
    at = (day - EPOCH).days
    today, earlier = rows[rows["day"] == at], rows[(rows["day"] < at) & (rows["range"] == "full")]
    is_new = np.array([not _equalled(best, today, earlier) for best in bests.itertuples()], bool)
    return bests[is_new].reset_index(drop=True)


def _equalled(best: object, today: pd.DataFrame, earlier: pd.DataFrame) -> bool:
    amount = "hold_s" if best.measure == "hold" else "reps"
    alike = ["exercise", "thing", *(["variant"] if amount == "hold_s" else [])]
    lifted = {"load_kg": round(best.load_kg, 3) if best.load_kg == best.load_kg else 0.0, amount: getattr(best, amount), "in_reserve": best.rir}
    own = today[today["exercise"] == best.exercise]
    for name, value in lifted.items():
        own = own[own[name].isna() if pd.isna(value) else own[name] == value]
    return len(own) > 0 and equalled(own, earlier[(earlier[alike] == own[alike].iloc[0]).all(axis=1)], amount)
