"""Acute:chronic ratios of weekly hard sets: shown on request, with their limits; they raise nothing.

A ratio of the last week to the last four holds that week twice (Lolli et al. 2019, Br J Sports Med 53:921-922; Windt &
Gabbett 2019, 53:988-990), made-up divisors do nearly as well as real ones (Impellizzeri et al. 2021,
doi:10.1007/s40279-020-01378-6), and an average needs a start value that nobody knows (Wang et al. 2020,
doi:10.1007/s40279-020-01280-1).
"""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import ArrayLike, NDArray

from etl.settings import RULES, Rules

Floats = NDArray[np.float64]
WEEK = 7


def uncoupled(weekly: ArrayLike, rules: Rules = RULES) -> Floats:
    """U = A / mean(W1 to W3): a week over the mean of the three weeks before it, (weeks,), oldest first.

    NaN in the first three weeks, and where nothing was done in the three before.

    >>> uncoupled([1200, 900, 1100, 1500]).tolist()
    [nan, nan, nan, 1.40625]
    """
    return _over(weekly, rules, held=0)


def coupled(weekly: ArrayLike, rules: Rules = RULES) -> Floats:
    """C = A / mean(A, W1 to W3): the same with the week itself in its divisor, so that it stays below 4, or is 4 after nothing.

    NaN in the first three weeks, and where nothing was done in all four.

    >>> coupled([1200, 900, 1100, 1500]).round(4).tolist()
    [nan, nan, nan, 1.2766]
    """
    return _over(weekly, rules, held=1)


def coupled_from_uncoupled(ratio: ArrayLike) -> Floats:
    """C = 4U/(3 + U): what links the two, and why C < 4. Windt & Gabbett, Br J Sports Med 2019;53:988-990, on the coupling."""
    ratio = np.asarray(ratio, float)
    return 4 * ratio / (3 + ratio)


def smoothed(daily: ArrayLike, days: int) -> Floats:
    """E_t = lambda load_t + (1 - lambda) E_{t-1} with lambda = 2/(days + 1), beginning with the first day's load, (days,).

    Williams et al. 2017, Br J Sports Med 51:209-210, doi:10.1136/bjsports-2016-096589. The first day goes on weighing
    (1 - lambda)^t: for 28 days still 0.14 after four weeks.
    """
    return pd.Series(np.asarray(daily, float)).ewm(span=days, adjust=False).mean().to_numpy()


def smoothed_ratio(daily: ArrayLike, rules: Rules = RULES) -> Floats:
    """The averages of 7 and of 28 days over each other on each day, (days,), after Williams et al. 2017.

    daily: loads from the first day with training on, days of rest as 0. NaN in the first 27 days.

    >>> round(float(smoothed_ratio([100.0] * 28 + [150.0] * 7)[-1]), 4)
    1.1976
    """
    acute, chronic = smoothed(daily, rules.acute_days), smoothed(daily, rules.chronic_days)
    ratio = np.divide(acute, chronic, out=np.full(len(acute), np.nan), where=chronic > 0)
    ratio[: rules.chronic_days - 1] = np.nan
    return ratio


def _over(weekly: ArrayLike, rules: Rules, held: int) -> Floats:
    """Each week over the mean of those before it; held: 1 to have the week itself among them."""
    weekly, before = np.asarray(weekly, float), rules.chronic_days // WEEK - 1
    found = np.full(len(weekly), np.nan)
    if len(weekly) > before:
        windows = sliding_window_view(weekly, before + 1)
        mean = windows[:, : before + held].mean(axis=1)
        found[before:] = np.divide(weekly[before:], mean, out=np.full(len(mean), np.nan), where=mean > 0)
    return found
