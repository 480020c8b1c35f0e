"""Every strength series of some logs, laid end to end, and the looks at them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import pandas as pd

from dashboard.measures.eligibility import worthwhile_pct
from dashboard.measures.numbering import APART, is_first, numbered
from dashboard.measures.trend import own_window
from dashboard.measures.window import Asked, longest_window, stack_of
from dashboard.measures.window_fit import Fits, Ups, fit_looks, ups
from dashboard.standing.bests import SERIES
from etl.settings import Rules

DAYS = 7


class Name(NamedTuple):
    """Whose series it is (place of the log), of which exercise, what it measures, at which load or object."""

    owner: int
    exercise: str
    measure: str
    label: str


class SoFar:
    """Of some points of series, in order of series and time: the last of a series by a day, and the best by then."""

    def __init__(self, series: np.ndarray, day: np.ndarray, value: np.ndarray, which: np.ndarray) -> None:
        """series, day, value, which (N,): whose each point is, when, how much, and whether it is of these."""
        self.place, self.series = np.flatnonzero(which), series[which]
        self.key = self.series * APART + day[which]
        value = value[which]
        best = pd.Series(value).groupby(self.series).cummax().to_numpy()
        new = np.r_[True, (best[1:] > best[:-1]) | (self.series[1:] != self.series[:-1])][: len(best)]
        self.best = np.maximum.accumulate(np.where(new, np.arange(len(best)), 0))

    def at(self, number: np.ndarray, day: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Places of the last point of series `number` by `day`, and of the first that was as good as the best by then; (R,) each,
        −1 before the first.
        """
        if not len(self.key):
            return np.full(len(number), -1), np.full(len(number), -1)
        row = np.searchsorted(self.key, number * APART + day, side="right") - 1
        there = (row >= 0) & (self.series[np.maximum(row, 0)] == number)
        return np.where(there, self.place[row], -1), np.where(there, self.place[self.best[row]], -1)


class AllSeries:
    """names, measure: of each series; points: columns of all points; begin: series i is points begin[i] to begin[i + 1]; stack: those
    that count in a trend, times in weeks; every: all points by time.
    """

    def __init__(self, points: pd.DataFrame, owner: np.ndarray, rules: Rules) -> None:
        self.rules = rules
        columns = [points[name].to_numpy(object) for name in SERIES]
        self.begin = np.r_[np.flatnonzero(is_first(numbered(*columns))), len(points)]
        self.names = [Name(int(owner[at]), *(c[at] for c in columns[1:])) for at in self.begin[:-1]]
        self.measure = columns[2][self.begin[:-1]]
        self.points = {name: points[name].to_numpy(float) for name in ("day", "value", "noise", "body_mass", "load_kg")}
        self.counted = points["counted"].to_numpy(bool)
        self.stack = stack_of(
            self.points["day"][self.counted] / DAYS, 100 * np.log(self.points["value"][self.counted]), self.points["noise"][self.counted],
            points["band"].to_numpy(int)[self.counted], points["readiness"].to_numpy(float)[self.counted],
            np.r_[0, np.cumsum(self.counted)][self.begin], longest_window(rules))
        whose = np.repeat(np.arange(len(self.names)), np.diff(self.begin))
        self.every, self.in_trend = (SoFar(whose, self.points["day"], self.points["value"], which) for which in (np.ones(len(whose), bool), self.counted))

    def so_far(self, number: np.ndarray, day: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """As `SoFar.at`, of the points that count in a trend as far as there are any by then, else of the faint ones."""
        (last, best), (faint_last, faint_best) = self.in_trend.at(number, day), self.every.at(number, day)
        return np.where(last >= 0, last, faint_last), np.where(last >= 0, best, faint_best)

    def days(self, numbers: Sequence[int]) -> np.ndarray:
        """The days of the sessions that count in a trend of any of some series, each once, in order."""
        found = [self.stack.t[self.stack.begin[n] : self.stack.begin[n + 1]] for n in numbers]
        return np.unique(np.round(DAYS * np.concatenate([np.empty(0), *found])))

    def current(self, own: Sequence[int], ends: np.ndarray) -> np.ndarray:
        """Of an exercise's series, one a load, that which the latest session by each day of `ends` belongs to, its heaviest; −1
        before the first, (weeks,)."""
        rows = np.concatenate([np.arange(self.begin[i], self.begin[i + 1]) for i in own])
        number = np.repeat(own, [self.begin[i + 1] - self.begin[i] for i in own])
        day, load = self.points["day"][rows], np.nan_to_num(self.points["load_kg"][rows])
        order = np.lexsort((load, day))
        at = np.searchsorted(day[order], ends, side="right") - 1
        return np.where(at >= 0, number[order][np.maximum(at, 0)], -1)

    def worthwhile(self, number: np.ndarray, day: np.ndarray, level: np.ndarray) -> np.ndarray:
        """Smallest worthwhile gain of series by a day, % a week, (R,); level: of whose series it is."""
        last, _ = self.every.at(number, day)
        return worthwhile_pct(self.measure[number], self.points["value"][np.where(last >= 0, last, self.begin[number])], level, self.rules)

    def counts(self, number: int) -> bool:
        """Whether any point of a series counts in a trend."""
        return bool(self.stack.begin[number + 1] > self.stack.begin[number])


class Looks(NamedTuple):
    """Looks at some series, end to end: those of numbers[i] are rows start[i] to start[i + 1], one a week from `first_line[i]` on.

    found and fits: of each look, over its own window (asked.weeks); needed: the level's window, of which the data have to
    span enough.
    """

    numbers: Sequence[int]
    start: np.ndarray
    first_line: np.ndarray
    asked: Asked
    needed: np.ndarray
    found: Ups
    fits: Fits

    def row(self, place: int, line: np.ndarray) -> np.ndarray:
        """Rows of the looks at the series at `place`, by line."""
        return self.start[place] + line - self.first_line[place]


def look(series: AllSeries, numbers: Sequence[int], ends: Sequence[np.ndarray], restart: Sequence[np.ndarray], first_line: Sequence[int],
         levels: Sequence[str], rules: Rules, weights: bool = False) -> Looks:
    """Look at some series. ends, restart: whole days of each one's looks; levels: of whose series it is."""
    lengths = [len(e) for e in ends]
    needed = np.repeat(np.array([rules.window_weeks[level] for level in levels], float), lengths)
    asked = Asked(np.repeat(np.asarray(numbers, int), lengths), np.concatenate([np.empty(0), *ends]) / DAYS,
                  np.concatenate([np.empty(0), *restart]) / DAYS, needed)
    found = ups(series.stack, asked, rules)
    level = np.repeat(np.array(levels, object), lengths)
    longer = np.repeat(series.measure[np.asarray(numbers, int)] != "reps", lengths)
    for one in dict.fromkeys(levels):
        asked = asked._replace(weeks=np.where(longer & (level == one), own_window(found.scale, one, rules), asked.weeks))
    return Looks(numbers, np.cumsum([0, *lengths]), np.asarray(first_line, int), asked, needed, found,
                 fit_looks(series.stack, asked, found, rules, weights))
