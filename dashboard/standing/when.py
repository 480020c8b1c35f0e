"""When the strength of an exercise or a part is looked at: every week's end, but for layoffs and restarts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from dashboard.measures.gaps import away, latest, layoffs, limits_days, restarts
from dashboard.standing.body import prime_parts
from dashboard.standing.weekly import Weekly
from etl.settings import RULES, Rules

DAYS = 7


@dataclass(frozen=True)
class When:
    """lines: the weeks to tell of; look (weeks,): the line of the look that each week tells, which is the last one that was
    not held, −1 where there is none; held (weeks,); restart (weeks,): the first day that each look may use.
    """

    lines: np.ndarray
    look: np.ndarray
    held: np.ndarray
    restart: np.ndarray

    @property
    def first_look(self) -> int:
        """The line of the earliest look that is needed: one before the first that is told, since a plateau needs two."""
        used = self.look[self.lines]
        return max(int(used[used >= 0].min(initial=self.lines[0])) - 1, 0)


def exercises_of(w: Weekly, since: int, rules: Rules = RULES) -> dict[str, When]:
    """Each exercise of a log, from line `since` on; without those that were first done in no week to tell of."""
    mondays, ends = w.log.mondays, w.log.mondays + 6
    code, names = pd.factorize(w.log.sets["exercise"].fillna(""))
    day, found = w.log.sets["day"].to_numpy(), {}
    of_parts: dict[tuple[int, ...], tuple] = {}
    for number, name in enumerate(names):
        if not name:
            continue
        # Every day on which it was done, also those whose sets say nothing of strength.
        days, primes = np.unique(day[code == number]), tuple(prime_parts(name))
        if primes not in of_parts:
            part_days = np.unique(np.concatenate([w.part_days[p] for p in primes])) if primes else w.body_days
            of_parts[primes] = part_days, away(ends, part_days, rules), restarts(layoffs(part_days, int(ends[-1]), rules), ends, rules)
        part_days, held, restart = of_parts[primes]
        lines = np.arange(max(since, int((days[0] - mondays[0]) // 7)), len(mondays))
        if len(lines):
            found[name] = When(lines, _last_not_held(held), held, np.maximum(restart, _dropped(days, part_days, ends, rules)))
    return found


def part_of(w: Weekly, part: int, first: int, rules: Rules = RULES) -> When:
    """A part's weeks from line `first` on. Its restart is only told: its exercises know themselves from when on their sessions count."""
    ends, days = w.log.mondays + 6, w.part_days[part]
    held = away(ends, days, rules)
    return When(np.arange(first, w.log.weeks), _last_not_held(held), held, restarts(layoffs(days, int(ends[-1]), rules), ends, rules))


def read_since(restart: np.ndarray, ends: np.ndarray, levels: Sequence[str], rules: Rules = RULES) -> np.ndarray:
    """The first day that looks read, where a break leaves out what its window would hold, else NaN, (n,). restart, ends (n,): whole days; levels (n,)."""
    window = DAYS * np.array([rules.window_weeks[level] for level in levels], float)
    return np.where(restart > ends - window, restart, np.nan)


def first_looks(of_one_log: Sequence[When]) -> int:
    """The line of the earliest look that any of them needs."""
    return min((when.first_look for when in of_one_log if len(when.lines)), default=0)


def _last_not_held(held: np.ndarray) -> np.ndarray:
    """A held week repeats the look of the last week that was not held; −1 where there is none."""
    return np.maximum.accumulate(np.where(held, -1, np.arange(len(held))))


def _dropped(days: np.ndarray, part_days: np.ndarray, ends: np.ndarray, rules: Rules) -> np.ndarray:
    """An exercise that was dropped while its part was trained restarts, and passes over its first session back."""
    long = np.flatnonzero(np.diff(days) > limits_days(days, rules)[:-1])
    trained = [i for i in long if np.any((part_days > days[i]) & (part_days < days[i + 1]))]
    back = days[np.array(trained, int) + 1].astype(float)
    return latest(back, back + 1, ends)
