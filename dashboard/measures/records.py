"""Bests as they were lifted: the heaviest load for so many repetitions, the most repetitions at a load, the longest hold."""

from __future__ import annotations

import pandas as pd

MOST_REPS = 12


def heaviest(sets: pd.DataFrame, most: int = MOST_REPS) -> pd.DataFrame:
    """repetitions (1 to `most`), load_kg, reps, date: the heaviest load that was lifted at least so many times in one set, and when first.

    sets: date, load_kg, reps, in order of time. A number of repetitions that no set reached is left out. Of sets with that load the one
    with the most repetitions is named, and of equals the first.

    >>> heaviest(pd.DataFrame({"date": [1, 2, 3], "load_kg": [60.0, 70.0, 70.0], "reps": [5, 2, 2]}), 5)["load_kg"].tolist()
    [70.0, 70.0, 60.0, 60.0, 60.0]
    """
    ordered = sets.sort_values(["load_kg", "reps"], ascending=False, kind="stable")
    reached = [(times, ordered[ordered["reps"] >= times].head(1)) for times in range(1, most + 1)]
    rows = [{"repetitions": times, **best.iloc[0][["load_kg", "reps", "date"]].to_dict()} for times, best in reached if len(best)]
    return pd.DataFrame(rows, columns=["repetitions", "load_kg", "reps", "date"])


def most_at_load(sets: pd.DataFrame, value: str) -> pd.DataFrame:
    """load_kg, `value`, date, sets: the highest value at each load and when it was first done, and how many sets there were; the heaviest load first.

    sets: date, load_kg, `value` (reps or hold_s), in order of time.

    >>> most_at_load(pd.DataFrame({"date": [1, 2, 3], "load_kg": [0.0, 0.0, 5.0], "reps": [8, 9, 4]}), "reps").to_numpy(int).tolist()
    [[5, 4, 3, 1], [0, 9, 2, 2]]
    """
    count = sets.groupby("load_kg")[value].size()
    best = sets.sort_values(value, ascending=False, kind="stable").drop_duplicates("load_kg").sort_values("load_kg", ascending=False, kind="stable")
    return best[["load_kg", value, "date"]].assign(sets=best["load_kg"].map(count)).reset_index(drop=True)


def equalled(own: pd.DataFrame, earlier: pd.DataFrame, amount: str) -> bool:
    """Whether each of a day's sets had been equalled or beaten before as lifted: at least its load with at least its `amount`, on the same side.

    own, earlier: side, load_kg, `amount` (reps or hold_s); what was left in reserve is no matter.

    >>> before = pd.DataFrame({"side": ["both", "both"], "load_kg": [10.0, 12.0], "reps": [9, 6]})
    >>> equalled(before.iloc[:1], before, "reps"), equalled(before.iloc[:1].assign(reps=10), before, "reps"), equalled(before.iloc[:1].assign(side="left"), before, "reps")
    (True, False, False)
    """
    return all(((earlier["side"] == one.side) & (earlier["load_kg"] >= one.load_kg) & (earlier[amount] >= getattr(one, amount))).any()
               for one in own.itertuples())
