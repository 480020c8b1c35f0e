"""One slope of several exercises: the trend of a part, from all series whose prime mover it is."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from dashboard.measures.dose import sums
from dashboard.measures.readiness import quadratic
from dashboard.measures.window_fit import Fits
from etl.settings import RULES, Rules


class Pooled(NamedTuple):
    """One value per group (a part at one look), (G,); nan where no series says anything of a slope.

    sessions: different days over the series that say something; series: how many do; weeks: the window taken; needed: the
    weeks of which the data have to span enough.
    """

    slope: np.ndarray
    slope_se: np.ndarray
    scale: np.ndarray
    sessions: np.ndarray
    series: np.ndarray
    first: np.ndarray
    last: np.ndarray
    weeks: np.ndarray
    needed: np.ndarray


def pooled(fits: Fits, scale: np.ndarray, member: np.ndarray, group: np.ndarray, shared: np.ndarray, weeks: np.ndarray, needed: np.ndarray,
           rules: Rules = RULES) -> Pooled:
    """The series of each group with one slope, at one window.

    fits: of looks at single series, with `on_days`; scale (L,): of their noise. member, group (M,): which look belongs to
    which group; one look may belong to several. shared (G,): correlation of readiness between a group's series
    (`readiness.shared_readiness`); weeks, needed (G,): see `Pooled`.

    Levels and noise are each series' own. The slope is the mean of the slopes weighted by 1/SE², which is the GLS estimate
    through all points where the series are independent; its variance counts what they share,
    Σ w_k² SE_k² + ρ Σ_{k≠l} w_k w_l a_k' R_kl a_l, with a_k the weights of the days in slope k and R_kl the readiness of
    series k and l, s² exp(−|t_i − t_j|/τ) times their scales.
    """
    groups = len(shared)
    se, slope, own_scale = fits.slope_se[member], fits.slope[member], scale[member]
    says = np.isfinite(se)
    weight = np.where(says, 1 / np.where(says, se, 1.0) ** 2, 0.0)
    total = np.bincount(group, weight, groups)
    known = total > 0
    share = weight / np.where(known, total, 1.0)[group]
    variance = np.bincount(group, share**2 * np.where(says, se, 0.0) ** 2, groups)
    touched = known & (shared > 0)
    if touched.any():
        variance += shared * rules.readiness_sd_pct**2 * _shared_variance(fits.on_days, member, share * own_scale, group, touched, rules)
    # Where no series says anything, the sessions of all are counted, so that "too little data" can say how many there are.
    counted = says | ~known[group]
    days = sums(group[counted], fits.there[member[counted]], groups) > 0
    return Pooled(
        slope=np.where(known, np.bincount(group, share * np.nan_to_num(slope), groups), np.nan),
        slope_se=np.where(known, np.sqrt(variance), np.nan),
        scale=np.where(known, np.bincount(group, share * own_scale, groups), np.nan),
        sessions=days.sum(axis=1),
        series=np.bincount(group, counted & (fits.sessions[member] > 0), groups).astype(int),
        first=_extreme(np.fmin, fits.first[member], group, counted, groups),
        last=_extreme(np.fmax, fits.last[member], group, counted, groups),
        weeks=np.asarray(weeks, float),
        needed=np.asarray(needed, float),
    )


def _shared_variance(on_days: np.ndarray, member: np.ndarray, factor: np.ndarray, group: np.ndarray, touched: np.ndarray, rules: Rules) -> np.ndarray:
    """Σ_{k≠l} x_k' E x_l of each touched group, with x the weights of the days times `factor` (M,); 0 elsewhere, (G,)."""
    decay = np.exp(-1 / (7 * rules.readiness_weeks))
    rows = np.flatnonzero(touched[group])
    alone = quadratic(on_days, decay)[member[rows]] * factor[rows] ** 2
    out = np.zeros(len(touched))
    out[touched] = quadratic(sums(group[rows], on_days[member[rows]] * factor[rows, None], len(touched))[touched], decay)
    return out - np.bincount(group[rows], alone, len(touched))


def first_enough(found: list[Pooled], enough: list[np.ndarray], target_se: np.ndarray) -> Pooled:
    """Of several windows, the shorter first, each group's first that says as much as is asked: `enough` data and an SE of
    at most `target_se` (G,). Else the last, which is the longest.

    How much a window says depends on when the sessions were and how noisy they are, not on what they show, so the choice
    does not bias the slope.
    """
    choice = np.full(len(target_se), len(found) - 1)
    for i in reversed(range(len(found) - 1)):
        choice = np.where(enough[i] & (found[i].slope_se <= target_se), i, choice)
    return Pooled(*(np.choose(choice, values) for values in zip(*found, strict=True)))


def _extreme(of: np.ufunc, values: np.ndarray, group: np.ndarray, counted: np.ndarray, groups: int) -> np.ndarray:
    out = np.full(groups, np.nan)
    of.at(out, group[counted], values[counted])
    return out
