"""Medians of many short rows at once, of what is known in each."""

from __future__ import annotations

import numpy as np


def median(values: np.ndarray) -> np.ndarray:
    """Median along the last axis, without nan; nan where there is nothing else.

    One partial sort of the rows without nan, a sort of the others: much faster than numpy.nanmedian.

    >>> median(np.array([[3.0, 1, np.nan], [1, 2, 3], [np.nan] * 3]))
    array([ 2.,  2., nan])
    """
    if values.size == 0:
        return np.full(values.shape[:-1], np.nan)
    known = ~np.isnan(values)
    whole = known.all(axis=-1)
    if whole.all():
        return _median(values)
    out = np.empty(whole.shape)
    out[whole] = _median(values[whole])
    count = known[~whole].sum(axis=-1)
    out[~whole] = median_of(np.sort(values[~whole], axis=-1), np.zeros_like(count), count)  # nan go last
    return out


def median_of(ordered: np.ndarray, first: np.ndarray, count: np.ndarray) -> np.ndarray:
    """Median of `count` values from the place `first` on, of values in ascending order along the last axis; nan of none."""
    low, high = (np.take_along_axis(ordered, np.minimum(at, ordered.shape[-1] - 1)[..., None], -1)[..., 0]
                 for at in (first + np.maximum(count - 1, 0) // 2, first + count // 2))
    return np.where(count > 0, (low + high) / 2, np.nan)


def median_sd(count: np.ndarray) -> np.ndarray:
    """The SD of the median of so many independent normal values, in SDs of one.

    √(π/(2n + π − 2)) of an odd number, √(π/(2n + 2π − 4)) of an even one: √(π/2n) for many, exact for one and two, within 1.3 %
    between (decided here).

    >>> median_sd(np.array([1, 2, 3, 8])).round(3)
    array([1.   , 0.707, 0.663, 0.415])
    """
    return np.sqrt(np.pi / (2 * count + (np.pi - 2) * np.where(count % 2, 1, 2)))


def _median(values: np.ndarray) -> np.ndarray:
    """One partial sort, which is faster than numpy.median's two."""
    middle = values.shape[-1] // 2
    ordered = np.partition(values, middle, axis=-1)
    above = ordered[..., middle]
    return above if values.shape[-1] % 2 else (ordered[..., :middle].max(axis=-1) + above) / 2
