"""Balance: bands, coverage, effective heads, differences between two sides."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from dashboard.measures.medians import median, median_sd
from dashboard.measures.noise import scale_factor
from etl.settings import RULES, Rules

Floats = NDArray[np.float64]


def band(size: str, level: str, rules: Rules = RULES) -> tuple[float, float]:
    """Low and high end of a part's band, hard sets a week: a convention of the trade, which a coach may change."""
    if size == "small":
        return rules.band_small
    return rules.band_main_beginner if level == "beginner" else rules.band_main


def status(dose: ArrayLike, low: ArrayLike, high: ArrayLike) -> NDArray[np.str_]:
    """below, within or above, of each dose."""
    dose = np.asarray(dose, float)
    return np.where(dose < np.asarray(low), "below", np.where(dose > np.asarray(high), "above", "within"))


def covered(dose: ArrayLike, direct: ArrayLike, low: ArrayLike, needs_direct: ArrayLike, rules: Rules = RULES) -> NDArray[np.bool_]:
    """A part is covered with a dose at its low end and, for deltoids, triceps and calves, two direct sets."""
    enough = np.asarray(dose, float) >= np.asarray(low)
    return enough & (~np.asarray(needs_direct, bool) | (np.asarray(direct, float) >= rules.direct_needed))


def effective_heads(dose: ArrayLike) -> Floats:
    """Simpson's effective number, 1/sum of squared shares over the last axis, zeros included; NaN where all are zero.

    "Trained as if 2.6 of 3 heads": Simpson, Nature 1949;163:688, as a number of equally large classes.

    >>> [round(float(effective_heads(d)), 2) for d in ([9, 6, 3], [12, 6, 0], [18, 0, 0])]
    [2.57, 1.8, 1.0]
    """
    dose = np.asarray(dose, float)
    total = dose.sum(axis=-1)
    squares = (dose**2).sum(axis=-1)
    return np.divide(total**2, squares, out=np.full(np.shape(total), np.nan), where=squares > 0)


def side_difference_pct(left: ArrayLike, right: ArrayLike) -> Floats:
    """(stronger - weaker)/stronger x 100, positive where the right is stronger.

    Impellizzeri FM et al. Med Sci Sports Exerc 2007;39:2044-2050.

    >>> float(side_difference_pct(24, 30))
    20.0
    """
    left, right = np.asarray(left, float), np.asarray(right, float)
    return (right - left) / np.maximum(left, right) * 100


def side_interval(difference_pct: ArrayLike, expected_pct: ArrayLike, step_pct: ArrayLike, rules: Rules = RULES) -> tuple[Floats, Floats]:
    """The 80 % interval of each look's median difference, %, signed like the differences: (L,) and (L,).

    difference_pct (L, m): of each session, nan where unused. expected_pct (L, m): one SD of 100 ln(right/left), by how far two
    bests scatter; step_pct (L, m): what one repetition or second more makes; both nan where unused. On the log scale, where noise
    is a share of the value: the sessions' scatter over the expected one, shrunk to 1 with 5 pseudo-observations (`scale_factor`),
    times the SD of a median of so many; and the SD of a whole step, which no median of whole steps averages out. One session:
    as expected. So are sessions that are equal on both sides: that is often meant so, and then says nothing of the scatter.

    >>> low, high = side_interval([[20.0, np.nan, np.nan], [20, 20, 20], [0, 0, 0]], [[5.0, np.nan, np.nan], [5, 5, 5], [5, 5, 5]], [[3.0] * 3] * 3)
    >>> low.round(1), high.round(1)
    (array([14.6, 16.9, -4.3]), array([25. , 23. ,  4.3]))
    """
    difference, expected, step = (np.asarray(x, float) for x in (difference_pct, expected_pct, step_pct))
    middle = _in_logs(median(difference))
    used = ~np.isnan(difference)
    count = used.sum(axis=1)
    apart = np.where(difference == 0, np.nan, _in_logs(difference) - middle[:, None])
    scale = scale_factor(apart, expected, np.ones(len(count)), rules)
    usual, whole = (np.sum(np.where(used, x**2, 0), axis=1) / count for x in (expected, step))
    reach = rules.z_interval * np.sqrt(scale**2 * usual * median_sd(count) ** 2 + whole / 12)
    return _from_logs(middle - reach), _from_logs(middle + reach)


def _in_logs(difference_pct: Floats) -> Floats:
    """100 ln(right/left) of differences in % of the stronger side."""
    return -np.sign(difference_pct) * 100 * np.log1p(-np.abs(difference_pct) / 100)


def _from_logs(log_ratio: Floats) -> Floats:
    return -np.sign(log_ratio) * 100 * np.expm1(-np.abs(log_ratio) / 100)


def lasting_difference(day: ArrayLike, difference_pct: ArrayLike, rules: Rules = RULES) -> tuple[float, int] | None:
    """The median difference (%, signed) and the number of sessions, where one side has stayed behind; else None.

    day (n,) in whole days, ascending, of the sessions of the last 8 weeks. It stays behind when at least 3 sessions
    that lie 4 weeks or more apart reach 15 % on one side, and so does the median of all of them.
    """
    day, difference = np.asarray(day, float), np.asarray(difference_pct, float)
    if not len(day):
        return None
    middle = float(np.median(difference))
    same = difference * np.sign(middle) >= rules.side_pct
    if abs(middle) < rules.side_pct or same.sum() < rules.side_sessions:
        return None
    apart = day[same].max() - day[same].min()
    return (middle, int(same.sum())) if apart >= 7 * rules.side_weeks else None


def indistinguishable(dose: ArrayLike, low: ArrayLike, high: ArrayLike) -> list[tuple[int, int]]:
    """Pairs of neighbours in the order of dose whose order depends on the credits: the range of the lower one reaches
    above the lower end of the higher one. dose, low, high: (heads,). Heads with equal doses are no pair.

    >>> indistinguishable([9.0, 4.0, 3.0], [8.5, 3.0, 2.0], [9.5, 5.0, 4.0])
    [(1, 2)]
    """
    dose, low, high = (np.asarray(x, float) for x in (dose, low, high))
    order = np.argsort(-dose, kind="stable")
    return [(int(a), int(b)) for a, b in zip(order[:-1], order[1:], strict=True) if high[b] > low[a] and dose[a] > dose[b]]


def weakest(share: ArrayLike, low: ArrayLike, high: ArrayLike) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Of each week the part with the smallest share of its band's low end, (weeks,), -1 where none is asked; and the others whose
    order with it depends on the credits, (weeks, parts): their range begins below the end of its own, or they have as much.

    share, low, high (weeks, parts): dose and range over the low end of the band; share is inf where a part is not asked. Of equals the first.

    >>> part, others = weakest([[0.5, 0.8, 1.2, np.inf]], [[0.2, 0.6, 1.0, 0.1]], [[0.9, 1.0, 1.4, 0.1]])
    >>> part.tolist(), others.tolist()
    ([0], [[False, True, False, False]])
    """
    share, low, high = (np.asarray(x, float) for x in (share, low, high))
    part, week, asked = share.argmin(axis=1), np.arange(len(share)), np.isfinite(share)
    others = asked & ((low < high[week, part, None]) | (share == share[week, part, None]))
    others[week, part] = False
    return np.where(asked.any(axis=1), part, -1), others
