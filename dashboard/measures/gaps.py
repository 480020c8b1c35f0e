"""Gaps in training: layoffs of a part or of the whole body, and the weeks of return after them.

A break of two weeks or more is what the consensus of Caterisano et al. 2019 (Strength Cond J 41(3):1-23,
doi:10.1519/SSC.0000000000000477) is about; how the return is spread over weeks is known second-hand.
"""

from __future__ import annotations

from bisect import insort
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from etl.settings import RULES, Rules


@dataclass(frozen=True)
class Layoff:
    """A gap: the last day trained before it and the first day after it, in whole days; after is None while it lasts."""

    before: int
    after: int | None

    def days(self, today: int | None = None) -> int:
        end = self.after if self.after is not None else today
        return (end if end is not None else self.before) - self.before


@dataclass(frozen=True)
class ReturnWeek:
    """One week of a return: its number from 1, and the shares of the usual that are suggested and raised above."""

    number: int
    suggested: float
    raised: float
    layoff: Layoff


def layoffs(days: ArrayLike, last_day: int, rules: Rules = RULES) -> list[Layoff]:
    """Gaps longer than max(14 days, 2.5 x the usual interval so far) between training days.

    days (n,): distinct training days, ascending. last_day: the end of the log; a gap that reaches it is open.

    >>> layoffs([0, 3, 7, 10, 40, 43], 43)
    [Layoff(before=10, after=40)]
    """
    days = np.asarray(days, int)
    if not len(days):
        return []
    gap = np.diff(np.r_[days, last_day])
    long = np.flatnonzero(gap > limits_days(days, rules))
    return [Layoff(int(days[i]), int(days[i + 1]) if i + 1 < len(days) else None) for i in long]


def limits_days(days: ArrayLike, rules: Rules = RULES) -> NDArray[np.float64]:
    """How many days without training make a layoff after each training day, as known on it, (n,)."""
    usual = _usual_interval(np.asarray(days, np.int64).tobytes())
    return np.maximum(float(rules.layoff_days), rules.layoff_intervals * usual)


# Parts that are trained on the same days have the same gaps.
@lru_cache(maxsize=4096)
def _usual_interval(days: bytes) -> NDArray[np.float64]:
    """Median of the intervals up to each training day, 0 on the first, (n,)."""
    found, ordered = [0.0], []
    for interval in np.diff(np.frombuffer(days, np.int64)).tolist():
        insort(ordered, interval)
        middle = len(ordered) // 2
        found.append(float(ordered[middle]) if len(ordered) % 2 else (ordered[middle - 1] + ordered[middle]) / 2)
    return np.array(found)


def away(ends: ArrayLike, days: ArrayLike, rules: Rules = RULES) -> NDArray[np.bool_]:
    """Whether, at the end of each day of `ends` (weeks,), the last training lies further back than a layoff's limit, as
    known then. False before the first training day.
    """
    ends, days = np.asarray(ends, int), np.asarray(days, int)
    if not len(days):
        return np.zeros(len(ends), bool)
    at = np.searchsorted(days, ends, side="right") - 1
    last = np.maximum(at, 0)
    return (at >= 0) & (ends - days[last] > limits_days(days, rules)[last])


def return_week(found: list[Layoff], monday: int, rules: Rules = RULES) -> ReturnWeek | None:
    """The week of return that the ISO week beginning on `monday` is, or None. After 12 weeks away there is no ramp."""
    for layoff in reversed(found):
        if layoff.after is None or layoff.after > monday + 6:
            continue
        number = (monday - (layoff.after - _weekday(layoff.after))) // 7
        long_gap = layoff.days() >= rules.return_long_days
        suggested = rules.return_long_suggested if long_gap else rules.return_short_suggested
        raised = rules.return_long_raised if long_gap else rules.return_short_raised
        if layoff.days() <= rules.return_new_days and number < len(suggested):
            return ReturnWeek(number + 1, suggested[number], raised[number], layoff)
        return None
    return None


def restarts(found: list[Layoff], ends: ArrayLike, rules: Rules = RULES) -> NDArray[np.float64]:
    """For a look at the end of each day of `ends`: the first day whose sets may enter a trend, three weeks after the last
    return that was known then; -inf if there was none.
    """
    back = np.array([layoff.after for layoff in found if layoff.after is not None], float)
    return latest(back, back + 7 * rules.layoff_pass_weeks, ends)


def latest(days: NDArray[np.float64], values: NDArray[np.float64], ends: ArrayLike) -> NDArray[np.float64]:
    """The value of the latest of `days` (ascending) that is not after each end, -inf where there is none."""
    at = np.searchsorted(days, np.asarray(ends, float), side="right")
    return np.r_[-np.inf, values][at]


def _weekday(day: int | NDArray[np.int64]) -> int | NDArray[np.int64]:
    """0 for a Monday; days are counted from 1970-01-01, a Thursday."""
    return (day + 3) % 7
