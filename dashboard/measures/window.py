"""The points that each look may use: a stack of windows cut from one series."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike


class Series(NamedTuple):
    """Sessions of one exercise, one value each. All (n,); noise and band may be one number for all.

    t_weeks: time; y: 100 ln(value); noise: one SD of y, %; band: 0 or 1, repetition bands with levels of their
    own. first_week: if this exercise restarts apart from others, the earliest time per look, (L,) or one number.
    """

    t_weeks: ArrayLike
    y: ArrayLike
    noise: ArrayLike
    band: ArrayLike
    first_week: ArrayLike = -np.inf


class Windows(NamedTuple):
    """Points of L looks, (L, m), padded to the longest; `used` is False for padding, whose t and y are 0, noise 1."""

    t: np.ndarray
    y: np.ndarray
    noise: np.ndarray
    band: np.ndarray
    used: np.ndarray


def in_time_order(series: Series) -> Series:
    """The series sorted by time, as arrays, without points that have no time, value or noise."""
    t, y = np.asarray(series.t_weeks, dtype=float), np.asarray(series.y, dtype=float)
    noise = np.broadcast_to(np.asarray(series.noise, dtype=float), t.shape)
    band = np.broadcast_to(np.asarray(series.band, dtype=int), t.shape)
    known = np.isfinite(t) & np.isfinite(y) & np.isfinite(noise)
    order = np.flatnonzero(known)[np.argsort(t[known], kind="stable")]
    return Series(t[order], y[order], noise[order], band[order], series.first_week)


def cut(series: Series, look_weeks: np.ndarray, first_week: np.ndarray, weeks: float) -> Windows:
    """Points with look − weeks < t <= look and t >= first_week, of a series in time order.

    A look sees nothing later than itself.
    """
    start = np.searchsorted(series.t_weeks, look_weeks - weeks, side="right")
    start = np.maximum(start, np.searchsorted(series.t_weeks, first_week, side="left"))
    end = np.searchsorted(series.t_weeks, look_weeks, side="right")
    longest = int(np.max(end - start, initial=0))
    index = start[:, None] + np.arange(longest)
    used = index < end[:, None]
    index = np.where(used, index, 0)

    def take(values: np.ndarray, padding: float) -> np.ndarray:
        return np.where(used, values[index], padding) if len(values) else np.zeros(index.shape, dtype=values.dtype)

    return Windows(take(series.t_weeks, 0.0), take(series.y, 0.0), take(series.noise, 1.0), take(series.band, 0), used)
