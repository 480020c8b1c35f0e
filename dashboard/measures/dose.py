"""Dose: how many hard sets each head, part and muscle had in a week, with its range.

Direct sets count 1, indirect 0.5: fractional counting had the strongest support for muscles (Pelland et al. 2025,
doi:10.1007/s40279-025-02344-w); per head nobody has tested it, which is decided here and said wherever it is shown.
The tier of 0.25 explains, and stays out of the total.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike, NDArray

from etl.settings import RULES, Rules

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Credits:
    """Credits of k kinds of set (exercise with its modifiers) for h heads, each array (k, h).

    base: the tier in the catalogue, 0, 0.25, 0.5 or 1. now: after the grip, stance or rotation that was logged.
    grade: the letter of each, '' where there is none.
    """

    base: Floats
    now: Floats
    grade: NDArray[np.str_]


def counted(credits: Credits, rules: Rules = RULES) -> Floats:
    """Credits that enter a total, (k, h): those whose tier is direct or indirect."""
    return np.where(credits.base >= rules.credit_counted_min, credits.now, 0.0)


def one_tier(credits: Credits, step: int, rules: Rules = RULES) -> Floats:
    """Counted credits with each moved one tier up (step 1) or down (step -1), (k, h). A zero stays zero.

    A tier that falls to 0.25 no longer counts; one that rises to 0.5 does.
    """
    tiers = np.asarray(rules.credit_tiers)
    at = np.clip(np.searchsorted(tiers, credits.base) + step, 0, len(tiers) - 1)
    moved = np.where(credits.base > 0, tiers[at], 0.0)
    share = np.divide(credits.now, credits.base, out=np.ones_like(credits.now), where=credits.base > 0)
    return np.where(moved >= rules.credit_counted_min, np.minimum(moved * share, 1.0), 0.0)


def direct(credits: Credits) -> NDArray[np.bool_]:
    """Where a set is a direct set of a head, (k, h): its tier is 1."""
    return credits.base >= 1.0


def pooled(values: Floats, groups: list[list[int]]) -> Floats:
    """The highest credit among the heads of each group, (k, g), so that a set counts once in a part or muscle.

    values (k, h); groups: for each part or muscle the columns of its heads.
    """
    return np.stack([values[:, heads].max(axis=1) if heads else np.zeros(len(values)) for heads in groups], axis=1)


def per_week(hard: ArrayLike, kind: ArrayLike, week: ArrayLike, credit: Floats, weeks: int) -> Floats:
    """Sum of hard set x credit, (weeks, columns). hard, kind, week: (n,), kind the row and week the line of the sum.

    >>> per_week([1, 1], [0, 1], [0, 0], np.array([[1.0, 0.5], [0.5, 1.0]]), 1).tolist()
    [[1.5, 1.5]]
    """
    return sets_of_kinds(hard, kind, week, len(credit), weeks) @ credit


def sets_of_kinds(hard: ArrayLike, kind: ArrayLike, week: ArrayLike, kinds: int, weeks: int) -> Floats:
    """Hard sets of each kind in each week, (weeks, kinds); times credits (kinds, things) it is the dose of the things."""
    sets = np.bincount(np.asarray(week, int) * kinds + np.asarray(kind, int), np.asarray(hard, float), weeks * kinds)
    return sets.reshape(weeks, kinds)


def sums(line: NDArray[np.int64], values: Floats, lines: int) -> Floats:
    """Rows of values (n, c) added up by their line number, (lines, c)."""
    total = np.zeros((lines, values.shape[1]))
    order = np.argsort(line, kind="stable")
    there, first = np.unique(line[order], return_index=True)
    if len(there):
        total[there] = np.add.reduceat(values[order], first)
    return total


def distinct_per_week(label: ArrayLike, week: ArrayLike, trained: NDArray[np.bool_], weeks: int) -> NDArray[np.int64]:
    """How many different labels (exercises, days) trained each column in each week, (weeks, c). trained (n, c)."""
    if not len(trained):
        return np.zeros((weeks, trained.shape[1]), int)
    label, labels = pd.factorize(np.asarray(label))
    pairs, pair = np.unique(np.asarray(week, int) * len(labels) + label, return_inverse=True)
    order = np.argsort(pair, kind="stable")
    seen = np.logical_or.reduceat(trained[order], np.searchsorted(pair[order], np.arange(len(pairs))), axis=0)
    return sums(pairs // len(labels), seen.astype(float), weeks).astype(int)
