"""How noisy this athlete's series is beside the usual, and which of its days count for less."""

from __future__ import annotations

import numpy as np

from dashboard.measures.medians import median
from etl.settings import RULES, Rules


def scale_factor(residuals: np.ndarray, expected_sd: np.ndarray, parameters: np.ndarray, rules: Rules = RULES) -> np.ndarray:
    """Factor on the expected SD that fits this series, one per look: (L, m), (L, m), (L,) -> (L,).

    residuals: from a robust line over 26 weeks, nan where unused; expected_sd: of each point, same unit;
    parameters: how many numbers that line took. The robust SD of residual/expected (1.4826 × median absolute
    value, since each level is a median already) is widened for the numbers taken, shrunk to 1 as a variance
    with `rules.scale_pseudo_n` (5) pseudo-observations, and clipped to 0.5-2.5.

    >>> scale_factor(np.array([[3.0, -3, 3, -3]]), np.full((1, 4), 3.0), np.array([2])).round(3)
    array([1.404])
    """
    count = (~np.isnan(residuals)).sum(axis=1)
    free = np.maximum(count - parameters, 0)
    robust_sd = rules.mad_sd * np.nan_to_num(median(np.abs(residuals / expected_sd)))
    variance = robust_sd**2 * count / np.maximum(free, 1)
    shrunk = (free * variance + rules.scale_pseudo_n) / (free + rules.scale_pseudo_n)
    return np.clip(np.sqrt(shrunk), rules.scale_low, rules.scale_high)


def outlier_factor(residuals: np.ndarray, sd: np.ndarray, rules: Rules = RULES) -> np.ndarray:
    """Factor on the variance of each point: (z/2)² beyond 2 SD from the robust line, else 1. Same shape.

    A bad day then counts for the less the further off it is, and is not thrown away. nan gives 1.

    >>> outlier_factor(np.array([1.0, -6.0, np.nan]), np.array([1.0, 1.0, 1.0]))
    array([1., 9., 1.])
    """
    z = np.abs(np.nan_to_num(residuals)) / sd
    return np.maximum(1.0, (z / rules.outlier_z) ** 2)
