"""Theil-Sen line: a straight line that a few bad days do not move, for a stack of windows at once.

Theil H. A rank-invariant method of linear and polynomial regression analysis. Proc K Ned Akad Wet 1950;53.
Sen PK. Estimates of the regression coefficient based on Kendall's tau. J Am Stat Assoc 1968;63:1379-1389,
doi:10.1080/01621459.1968.10480934.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from dashboard.measures.medians import median
from dashboard.measures.numbering import APART


class Line(NamedTuple):
    """Slope (L,) per unit of t and residuals (L, n)."""

    slope: np.ndarray
    residuals: np.ndarray


def robust_line(t: np.ndarray, y: np.ndarray, group: np.ndarray, slopes: np.ndarray) -> Line:
    """One line per row: the median of the slopes of all pairs of points, and a level per group.

    t, y, group (L, n): L windows of n points. slopes (L, pairs): of pairs within a group (a repetition band) at two times, nan
    for others (`pair_slopes`, `slopes_within`). A group's level is the median of y − slope·t. No pair: slope 0, so that the
    residuals are those from the group's median.

    >>> t = np.array([[0.0, 1, 2, 3, 4]])
    >>> y = 2 * t + [[0, 0, 0, 0, 9]]
    >>> slopes = pair_slopes(t[0], y[0], np.zeros(5, int), np.array([0, 5]), np.inf)
    >>> line = robust_line(t, y, np.zeros((1, 5), int), slopes_within(slopes, np.array([0]), 5))
    >>> line.slope, line.residuals
    (array([2.]), array([[0., 0., 0., 0., 9.]]))
    """
    slope = np.nan_to_num(median(slopes))
    detrended = y - slope[:, None] * t
    groups = np.unique(group)
    if len(groups) == 1:
        return Line(slope, detrended - median(detrended)[:, None])
    residuals = np.empty(t.shape)
    for g in groups:
        here = group == g
        residuals = np.where(here, detrended - median(np.where(here, detrended, np.nan))[:, None], residuals)
    return Line(slope, residuals)


def pair_slopes(t: np.ndarray, y: np.ndarray, group: np.ndarray, begin: np.ndarray, span: float) -> np.ndarray:
    """Slopes between the points of series that stand end to end, for windows that overlap: (D, N).

    t, y, group (N,), series i is begin[i] to begin[i + 1], each in order of time. Row d - 1 has at i the slope from point i to
    point i + d, nan where they are not of one series and group. D is large enough for all pairs less than `span` apart in time.
    """
    series = np.repeat(np.arange(len(begin) - 1), np.diff(begin))
    # How many points a window of `span` may hold after each, within its series.
    in_order = series * APART + t
    after = np.searchsorted(in_order, in_order + span) - 1 - np.arange(len(t))
    ends = np.asarray(begin)[1:][series] - 1 - np.arange(len(t))
    slopes = np.full((np.minimum(after, ends).max(initial=0), len(t)), np.nan)
    for d in range(1, len(slopes) + 1):
        same = (series[d:] == series[:-d]) & (group[d:] == group[:-d])
        slopes[d - 1, :-d] = _slopes(t[d:] - t[:-d], y[d:] - y[:-d], same)
    return slopes


def slopes_within(slopes: np.ndarray, begin: np.ndarray, points: int) -> np.ndarray:
    """Of `pair_slopes` those within windows of so many points from begin on, (L,) -> (L, pairs)."""
    i, j = _pairs(points)
    return slopes.ravel()[begin[:, None] + ((j - i - 1) * slopes.shape[1] + i)]


def _slopes(apart: np.ndarray, rise: np.ndarray, same: np.ndarray) -> np.ndarray:
    """Rise by time between two points, nan where they are not of one group or at one time."""
    return np.divide(rise, apart, out=np.full(apart.shape, np.nan), where=same & (apart != 0))


@lru_cache(maxsize=256)
def _pairs(points: int) -> tuple[np.ndarray, np.ndarray]:
    return np.triu_indices(points, k=1)
