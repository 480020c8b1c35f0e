"""Calls that were false, stops that were found, and how sure each figure is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

NONE = ("", "too_little_data")
CALLS = ("plateau", "declining")
WEEKS_A_YEAR = 365.25 / 7
DRAWS = 1000  # of athletes, with replacement


@dataclass(frozen=True)
class Figure:
    """A figure with its Monte-Carlo interval (95 %)."""

    value: float
    low: float
    high: float
    athletes: int


def starts(verdicts: NDArray[np.object_], words: tuple[str, ...]) -> NDArray[np.bool_]:
    """Where a run of one of `words` begins, (series, weeks): it holds, and did not the week before."""
    on = np.isin(verdicts, words)
    before = np.concatenate([np.zeros((len(on), 1), bool), on[:, :-1]], axis=1)
    return on & ~before


def given(verdicts: NDArray[np.object_]) -> NDArray[np.bool_]:
    """Where there were data enough for a verdict."""
    return ~np.isin(verdicts, NONE)


def found_by(verdicts: NDArray[np.object_], stop: int, most: int, words: tuple[str, ...] = CALLS) -> NDArray[np.bool_]:
    """Whether a stop was found by k = 0..most weeks after it, (series, most + 1). `stop`: the first week without a gain.

    The look at the end of week stop - 1 is 0 weeks after; a run that is on then counts as found.
    """
    on = np.isin(verdicts[:, stop - 1 : stop + most], words)
    return np.maximum.accumulate(on, axis=1)


def ratio(top: NDArray, bottom: NDArray, athlete: NDArray, times: float = 1.0, seed: int = 1) -> Figure:
    """times × sum(top)/sum(bottom), with an interval by drawing athletes anew (a bootstrap over clusters; Efron and
    Tibshirani 1993, chapter 8)."""
    names, at = np.unique(np.asarray(athlete), return_inverse=True)
    a, b = (np.bincount(at, np.asarray(x, float), len(names)) for x in (top, bottom))
    if b.sum() == 0:
        return Figure(np.nan, np.nan, np.nan, len(names))
    drawn = np.random.default_rng(seed).multinomial(len(names), np.full(len(names), 1 / len(names)), DRAWS)
    with np.errstate(divide="ignore", invalid="ignore"):
        ratios = times * (drawn @ a) / (drawn @ b)
    low, high = np.nanquantile(ratios, [0.025, 0.975])
    value = times * a.sum() / b.sum()
    # Where nothing was seen at all: the rule of three (Hanley and Lippman-Hand 1983, JAMA 249:1743).
    return Figure(float(value), float(low), float(times * 3 / b.sum() if a.sum() == 0 else high), len(names))


def fewer(ours: NDArray, theirs: NDArray, athlete: NDArray, seed: int = 1) -> Figure:
    """How many per cent fewer calls, on the same weeks."""
    share = ratio(ours, theirs, athlete, 100.0, seed)
    return Figure(100 - share.value, 100 - share.high, 100 - share.low, share.athletes)
