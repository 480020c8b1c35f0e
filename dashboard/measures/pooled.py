"""One slope of several exercises: the trend of a part, from all series whose prime mover it is."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from dashboard.measures.bent_fit import Bent
from dashboard.measures.dose import sums
from dashboard.measures.readiness import shared_variance
from dashboard.measures.window_fit import Fits
from etl.settings import RULES, Rules

Enough = Callable[[np.ndarray, np.ndarray, np.ndarray], np.ndarray]
LEAST = 1e-9  # information below it, beside the rest, is rounding


class Pooled(NamedTuple):
    """One value per group (a part at one look), (G,); nan where no series says anything of a slope.

    sessions: different days over the series that say something; exercises: of how many these series are; weeks: over how many the slope is;
    enough: whether there are data enough for a verdict.
    """

    slope: np.ndarray
    slope_se: np.ndarray
    scale: np.ndarray
    sessions: np.ndarray
    exercises: np.ndarray
    first: np.ndarray
    last: np.ndarray
    weeks: np.ndarray
    enough: np.ndarray


def pooled(fits: Fits, scale: np.ndarray, member: np.ndarray, group: np.ndarray, source: np.ndarray, shared: np.ndarray, weeks: np.ndarray,
           enough: Enough, rules: Rules = RULES) -> Pooled:
    """The series of each group with one slope, at one window.

    fits: of looks at single series, with `on_days`; scale (L,): of their noise. member, group (M,): which look belongs to
    which group; one look may belong to several; source (M,): the exercise of each, of which a group may hold several series.
    shared (G,): correlation of readiness between a group's series
    (`readiness.shared_readiness`); weeks (G,): see `Pooled`; enough: says it of sessions, first and last time.

    Levels and noise are each series' own. The slope is the mean of the slopes weighted by 1/SE², which is the GLS estimate
    through all points where the series are independent; its variance counts what they share,
    Σ w_k² SE_k² + ρ Σ_{k≠l} w_k w_l a_k' R_kl a_l, with a_k the weights of the days in slope k and R_kl the readiness of
    series k and l, s_k s_l exp(−|t_i − t_j|/τ) times their scales.
    """
    groups = len(shared)
    se, slope, own_scale = fits.slope_se[member], fits.slope[member], scale[member]
    says = np.isfinite(se)
    weight = np.where(says, 1 / np.where(says, se, 1.0) ** 2, 0.0)
    total = np.bincount(group, weight, groups)
    known = total > 0
    share = weight / np.where(known, total, 1.0)[group]
    variance = np.bincount(group, share**2 * np.where(says, se, 0.0) ** 2, groups)
    if (shared > 0).any():
        some = np.flatnonzero(shared[group] > 0)
        variance += shared_variance(fits.on_days[member[some]] * (share * own_scale)[some, None], group[some], shared, rules)
    # Where no series says anything, the sessions of all are counted, so that "too little data" can say how many there are.
    counted = says | ~known[group]
    days = days_with_points(fits.there[member[counted]], group[counted], groups)
    return _pooled(known, np.bincount(group, share * np.nan_to_num(slope), groups), variance, np.bincount(group, share * own_scale, groups), fits, member, group,
                   source, counted, days, weeks, enough)


def pooled_bent(bent: Bent, scale: np.ndarray, member: np.ndarray, group: np.ndarray, source: np.ndarray, shared: np.ndarray, weeks: float,
                enough: Enough, days: np.ndarray, rules: Rules = RULES) -> Pooled:
    """The series of each group with one slope before the bend and one after it, which is the slope that is told.

    bent: of looks at single series; the rest as in `pooled`. Information adds up over independent series: (before, after) =
    (Σ A_k)⁻¹ Σ s_k with A_k the information and s_k the score of series k. What the series share is added to the variance as
    there. days (G,): how many days have a point. nan where no history says anything of the slope before.
    """
    groups = len(shared)
    total = sums(group, bent.information[member].reshape(-1, 4), groups).reshape(-1, 2, 2)
    determinant = total[:, 0, 0] * total[:, 1, 1] - total[:, 0, 1] ** 2
    known = determinant > LEAST * np.maximum(total[:, 0, 0] * total[:, 1, 1], LEAST)
    # The second row of the inverse: what each score counts for in the slope after the bend.
    row = np.stack([-total[:, 0, 1], total[:, 0, 0]], axis=1) / np.where(known, determinant, 1.0)[:, None]
    slope = (row * sums(group, bent.score[member], groups)).sum(axis=1)
    variance = np.where(known, row[:, 1], 0.0)
    if (shared > 0).any():
        some = np.flatnonzero(shared[group] > 0)
        x = np.einsum("ms,msd->md", row[group[some]] * scale[member[some], None], bent.on_days[member[some]])
        variance += np.where(known, shared_variance(x, group[some], shared, rules), 0.0)
    counted = np.ones(len(member), bool)
    mean_scale = np.bincount(group, scale[member], groups) / np.maximum(np.bincount(group, minlength=groups), 1)
    return _pooled(known, slope, variance, mean_scale, bent, member, group, source, counted, days, np.full(groups, weeks), enough)


def _pooled(known: np.ndarray, slope: np.ndarray, variance: np.ndarray, scale: np.ndarray, fits: Fits | Bent, member: np.ndarray, group: np.ndarray,
            source: np.ndarray, counted: np.ndarray, days: np.ndarray, weeks: np.ndarray, enough: Enough) -> Pooled:
    groups = len(known)
    first, last = _extreme(np.fmin, fits.first[member], group, counted, groups), _extreme(np.fmax, fits.last[member], group, counted, groups)
    return Pooled(
        slope=np.where(known, slope, np.nan), slope_se=np.where(known, np.sqrt(variance), np.nan), scale=np.where(known, scale, np.nan),
        sessions=days, exercises=_distinct(source, group, counted & (fits.sessions[member] > 0), groups), first=first, last=last,
        weeks=np.asarray(weeks, float), enough=enough(days, first, last))


def _distinct(source: np.ndarray, group: np.ndarray, which: np.ndarray, groups: int) -> np.ndarray:
    """How many different sources stand in each group, (groups,), of those in `which`."""
    many = int(source.max(initial=0)) + 1
    return np.bincount(np.unique(group[which] * many + source[which]) // many, minlength=groups)


def days_with_points(there: np.ndarray, group: np.ndarray, groups: int) -> np.ndarray:
    """On how many days any series of each group has a point, (groups,). there (M, days): how many a day; group (M,)."""
    return (sums(group, there, groups) > 0).sum(axis=1)


def first_enough(found: list[Pooled], target_se: np.ndarray) -> Pooled:
    """Of several fits each group's first that says as much as is asked: enough data and an SE of at most `target_se` (G,).
    Else the last.

    How much a fit says depends on when the sessions were and how noisy they are, not on the slope that they show, so the
    choice does not bias it.
    """
    choice = np.full(len(target_se), len(found) - 1)
    for i in reversed(range(len(found) - 1)):
        choice = np.where(found[i].enough & (found[i].slope_se <= target_se), i, choice)
    return Pooled(*(np.choose(choice, values) for values in zip(*found, strict=True)))


def _extreme(of: np.ufunc, values: np.ndarray, group: np.ndarray, counted: np.ndarray, groups: int) -> np.ndarray:
    out = np.full(groups, np.nan)
    of.at(out, group[counted], values[counted])
    return out
