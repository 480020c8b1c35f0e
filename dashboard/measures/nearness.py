"""How near a best set is to what the next step asks, and the mist around a run of best sets."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dashboard.measures.one_rep_max import EQUATIONS


def nearness(value: ArrayLike, asked: ArrayLike, base: ArrayLike = 0.0, reserve: ArrayLike = 0.0) -> np.ndarray:
    """Share of the way from `base` to what is asked, in the shape of the inputs; 1: as much as is asked (decided here).

    value: repetitions that were possible, or seconds held; asked, base: in the same unit. reserve: repetitions that have to be left
    over, 1 where the rule asks for one in reserve. nan where asked is not above base.

    >>> nearness([21.0, 11.0, 24.0], 20.0, reserve=1.0).tolist(), nearness([11.0], 12.0, base=8.0, reserve=1.0).tolist()
    ([1.0, 0.5, 1.15], [0.5])
    """
    value, asked, base = (np.asarray(x, dtype=float) for x in (value, asked, base))
    span = asked - base
    return (value - reserve - base) / np.where(span > 0, span, np.nan)


def reps_before(load_kg: float, next_kg: float, least: float, equation: str = "lower_of_two", most: int = 30) -> float:
    """Whole repetitions that have to be possible at one load so that `least` are at the next, by the athlete's equation.

    Above 15 repetitions the equations differ by more than 22 %, so the answer is a guide; nan where more than `most` would be needed.

    >>> reps_before(8, 10, 8), reps_before(60, 62.5, 6), reps_before(5, 10, 8)
    (17.0, 8.0, nan)
    """
    reps = np.arange(1, most + 1)
    enough = EQUATIONS[equation](load_kg, reps) >= EQUATIONS[equation](next_kg, least)
    return float(reps[enough.argmax()]) if enough.any() else float("nan")


def mist(days: ArrayLike, ends: ArrayLike, reach_days: float) -> np.ndarray:
    """Ends of intervals, each the mean of those around it, (n,): weights fall off in a straight line to 0 at `reach_days`.

    >>> mist([0, 7, 14], [10.0, 13.0, 10.0], 14).tolist()
    [11.0, 11.5, 11.0]
    """
    days, ends = (np.asarray(x, dtype=float) for x in (days, ends))
    weights = np.clip(1 - np.abs(days[:, None] - days) / reach_days, 0, None)
    return weights @ ends / weights.sum(axis=1)
