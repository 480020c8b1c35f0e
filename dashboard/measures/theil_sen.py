"""Theil-Sen line: a straight line that a few bad days do not move, for a stack of windows at once.

Theil H. A rank-invariant method of linear and polynomial regression analysis. Proc K Ned Akad Wet 1950;53.
Sen PK. Estimates of the regression coefficient based on Kendall's tau. J Am Stat Assoc 1968;63:1379-1389,
doi:10.1080/01621459.1968.10480934.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

class Line(NamedTuple):
    """Slope (L,) per unit of t and residuals (L, m), nan where a point is not used."""

    slope: np.ndarray
    residuals: np.ndarray


def theil_sen(t: np.ndarray, y: np.ndarray, group: np.ndarray, used: np.ndarray | None = None) -> Line:
    """One line per row: the median of the slopes of all pairs of points, and a level per group.

    t, y, group, used (L, m): L windows of up to m points; `used` is False for padding. Pairs are taken within
    a group only (a repetition band), pairs at one time are left out, and a group's level is the median of
    y − slope·t. No pair: slope 0, so that the residuals are those from the group's median.

    >>> t = np.array([[0.0, 1, 2, 3, 4]])
    >>> line = theil_sen(t, 2 * t + [[0, 0, 0, 0, 9]], np.zeros((1, 5), int), np.ones((1, 5), bool))
    >>> line.slope, line.residuals
    (array([2.]), array([[0., 0., 0., 0., 9.]]))
    """
    used = np.ones(t.shape, bool) if used is None else used
    groups = np.unique(group)
    i, j = _pairs(t.shape[1])
    apart = t[:, j] - t[:, i]
    paired = apart != 0
    if len(groups) > 1:
        paired &= group[:, i] == group[:, j]
    if not used.all():
        paired &= used[:, i] & used[:, j]
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = np.nan_to_num(masked_median((y[:, j] - y[:, i]) / apart, paired))
    detrended = y - slope[:, None] * t
    residuals = np.full(t.shape, np.nan)
    for g in groups:
        here = used & (group == g)
        residuals = np.where(here, detrended - masked_median(detrended, here)[:, None], residuals)
    return Line(slope, residuals)


def masked_median(values: np.ndarray, used: np.ndarray) -> np.ndarray:
    """Median of the used values of each row (L, k) -> (L,); nan where none is used.

    Unused values are moved to the end, which is much faster than numpy.nanmedian.

    >>> masked_median(np.array([[3.0, 1, 99], [1, 2, 3]]), np.array([[True, True, False], [False] * 3]))
    array([ 2., nan])
    """
    count = used.sum(axis=1)
    if values.size == 0:
        return np.full(len(values), np.nan)
    if used.all():
        return _median(values)
    low, high = np.maximum(count - 1, 0) // 2, np.minimum(count // 2, values.shape[1] - 1)
    ordered = np.sort(np.where(used, values, np.inf), axis=1)
    row = np.arange(len(values))
    return np.where(count > 0, 0.5 * (ordered[row, low] + ordered[row, high]), np.nan)


def _median(values: np.ndarray) -> np.ndarray:
    """Median of each row; one partial sort, which is faster than numpy.median's two."""
    middle = values.shape[1] // 2
    ordered = np.partition(values, middle, axis=1)
    above = ordered[:, middle]
    return above if values.shape[1] % 2 else 0.5 * (ordered[:, :middle].max(axis=1) + above)


@lru_cache(maxsize=256)
def _pairs(points: int) -> tuple[np.ndarray, np.ndarray]:
    return np.triu_indices(points, k=1)
