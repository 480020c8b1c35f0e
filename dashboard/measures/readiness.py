"""How far an athlete's exercises share their good and bad days.

The readiness of `gls.products` is of one exercise. A bad night shows in every exercise of the next day, and several
exercises that go up and down together say less of a trend than several that do not. Decided here.
"""

from __future__ import annotations

import numpy as np

from dashboard.measures.dose import sums
from etl.settings import RULES, Rules


def shared_readiness(residuals: np.ndarray, there: np.ndarray, group: np.ndarray, groups: int, rules: Rules = RULES) -> np.ndarray:
    """Correlation of readiness between the series of each group (one athlete at one look), 0 to 1, (groups,).

    residuals: from each series' line in units of its expected SD, (M, days) by whole days before the look, 0 where there
    is none; there: how many points the day has; group (M,): the group of each series. The products of residuals of
    different series are regressed on what full sharing would give, s² exp(−|t_i − t_j|/τ) less what a fitted line takes of
    it, and drawn to 0 as if `rules.shared_pairs` pairs of one day had shown none. Series are independent until the log
    shows that they are not.
    """
    if not len(residuals):
        return np.zeros(groups)
    expected = rules.noise_pct[0][1]
    decay = np.exp(-1 / (7 * rules.readiness_weeks))
    (apart,) = between(residuals * expected, group, groups, decay)
    # A line's two numbers each follow a share 2τ/T of a process with memory τ in T weeks.
    taken = 4 * rules.readiness_weeks / (there.shape[1] / 7)
    near, nearly = between(there, group, groups, decay**2, decay)
    pairs = np.maximum(near - taken * nearly, 0.0)
    s2 = rules.readiness_sd_pct**2
    return np.clip(apart * s2 / (s2**2 * (pairs + 2 * rules.shared_pairs)), 0.0, 1.0)


def shared_variance(on_days: np.ndarray, group: np.ndarray, shared: np.ndarray, rules: Rules = RULES) -> np.ndarray:
    """ρ Σ_{k≠l} x_k' E x_l of each group, (G,): the variance that shared readiness adds to a sum over series.

    on_days (M, days): x, what one SD of each day's readiness moves the sum by; group (M,); shared (G,): ρ of each group;
    E_ij = exp(−|t_i − t_j|/τ).
    """
    (apart,) = between(on_days, group, len(shared), np.exp(-1 / (7 * rules.readiness_weeks)))
    return shared * apart


def between(values: np.ndarray, group: np.ndarray, groups: int, *decays: float) -> list[np.ndarray]:
    """For each decay the sum of x_i y_j decay^|i − j| over the pairs of different series of each group, (groups,); each pair twice."""
    total = sums(group, values, groups)
    return [quadratic(total, decay) - np.bincount(group, quadratic(values, decay), groups) for decay in decays]


def quadratic(x: np.ndarray, decay: float) -> np.ndarray:
    """x' E x of each row (M, days) -> (M,), with E_ij = decay^|i − j|, in one pass over the days.

    >>> x = np.array([[1.0, 0.0, 2.0]])
    >>> float(quadratic(x, 0.5)[0])
    6.0
    """
    by_day = np.ascontiguousarray(x.T)
    carried, total = np.zeros(x.shape[0]), np.zeros(x.shape[0])
    for day in by_day:
        total += day * (2 * decay * carried + day)
        carried = decay * carried + day
    return total
