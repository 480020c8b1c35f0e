"""How near a best set is to what the next step asks, what the next load asks of the present one, and the mist around best sets."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from dashboard.measures.one_rep_max import EQUATIONS
from etl.settings import RULES, Rules

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


def mist(days: ArrayLike, value: ArrayLike, noise: ArrayLike, rules: Rules = RULES) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Low end, middle and high end of where about 8 of 10 best sets around each day lie, (n,) each, in the unit of `value` (decided here).

    The middle is the mean of ln(value), with weights that fall in a straight line to 0 after `rules.mist_days`. Its width is the assumed noise of
    one best set (noise, one standard deviation of ln(value)), scaled by how far each set lies from the mean of the others, as in a trend:
    5 observations stand for the assumed noise, and the scale stays between 0.5 and 2.5.

    >>> [end.round(2).tolist() for end in mist([0, 7, 14], [10.0, 10.0, 10.0], [0.08, 0.08, 0.08])]
    [[9.22, 9.22, 9.22], [10.0, 10.0, 10.0], [10.84, 10.84, 10.84]]
    """
    days, level, noise = np.asarray(days, dtype=float), np.log(np.asarray(value, dtype=float)), np.asarray(noise, dtype=float)
    weights = np.clip(1 - np.abs(days[:, None] - days) / rules.mist_days, 0, None)
    middle = weights @ level / weights.sum(axis=1)
    others = weights - np.diag(np.diag(weights))
    judged = others.sum(axis=1) > 0
    away = (level - others @ level / np.where(judged, others.sum(axis=1), 1))[judged] / noise[judged]
    scale = np.sqrt((rules.scale_pseudo_n + (away**2).sum()) / (rules.scale_pseudo_n + len(away)))
    half = rules.z_interval * noise * np.clip(scale, rules.scale_low, rules.scale_high)
    return np.exp(middle - half), np.exp(middle), np.exp(middle + half)
