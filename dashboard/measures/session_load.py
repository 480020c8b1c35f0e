"""Load by how hard a session felt, and how even a week was: shown on request, with their limits; they raise nothing.

Session RPE x minutes: Foster et al. 2001, J Strength Cond Res 15:109-115; for lifting its repeatability is ICC 0.88 (Day et
al. 2004, J Strength Cond Res 18:353-358). Monotony and strain: Foster 1998, Med Sci Sports Exerc 30:1164-1168. No limit
that holds for everybody is supported for either.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
DAYS = 7


def session_load(session_rpe: ArrayLike, minutes: ArrayLike) -> Floats:
    """Session RPE (0-10, of the whole session) x its minutes, in arbitrary units (AU), (n,); NaN where either is not known.

    >>> session_load([7, 6, np.nan], [90, np.nan, 60]).tolist()
    [630.0, nan, nan]
    """
    return np.asarray(session_rpe, float) * np.asarray(minutes, float)


def monotony(daily: ArrayLike) -> Floats:
    """Mean over SD of the daily loads of a week, days of rest as 0, with the sample SD (n - 1), (weeks,).

    daily: (weeks, 7). NaN where the SD is 0 (each day alike, or nothing done) or a day is not known. Which SD Foster used
    is not said in what we saw; this one is named wherever the number is shown.
    """
    daily = np.asarray(daily, float)
    sd = daily.std(axis=-1, ddof=1)
    return np.divide(daily.mean(axis=-1), sd, out=np.full(sd.shape, np.nan), where=sd > 0)


def strain(daily: ArrayLike) -> Floats:
    """The week's load x its monotony, in AU, (weeks,); NaN where the monotony is."""
    return np.asarray(daily, float).sum(axis=-1) * monotony(daily)


def largest_monotony(training_days: ArrayLike, days: int = DAYS) -> Floats:
    """sqrt((n - 1) k / (n (n - k))): the most that a week of n days with k training days can come to, with the sample SD.

    It is reached by equal loads, and for k = n there is no limit (inf). For people who lift, it counts days of rest.

    >>> largest_monotony([3, 4, 5, 6, 7]).round(3).tolist()
    [0.802, 1.069, 1.464, 2.268, inf]
    """
    k = np.asarray(training_days, float)
    with np.errstate(divide="ignore"):
        return np.sqrt((days - 1) * k / (days * (days - k)))
