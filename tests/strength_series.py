"""Invented strength series for the tests of trends: a check series, and lines with noise."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import statsmodels.api as sm
from numpy.typing import ArrayLike

from dashboard.measures.theil_sen import Line, pair_slopes, robust_line, slopes_within

# An invented check series; its slopes were computed once with scipy 1.17.1 (linregress, theilslopes).
DAYS = np.array([0, 3, 7, 10, 14, 18, 21, 24, 28, 32, 35, 39, 42, 45, 49, 52])
T = DAYS / 7
Y = np.array([100, 101.5, 99, 102, 103.5, 101, 104, 105.5, 104.5, 105, 104, 106, 105, 104.5, 105.5, 105])
LINE = np.column_stack([np.ones(16), T])


def covariance(t: ArrayLike, noise: ArrayLike, readiness: ArrayLike, memory: float) -> np.ndarray:
    """V_ij = [i = j] σ_i² + s_i s_j exp(−|t_i − t_j|/τ), with σ_i² = noise_i² − s_i² and at least 0.01 %²; (n, n)."""
    t, noise = np.asarray(t, float), np.asarray(noise, float)
    s = np.broadcast_to(np.asarray(readiness, float), t.shape)
    return np.diag(np.maximum(noise**2 - s**2, 0.01)) + np.outer(s, s) * np.exp(-np.abs(t[:, None] - t) / memory)


class Fit(NamedTuple):
    """Coefficients (p,), their covariance (p, p), and the weights (p, n) with coefficients = weights @ y."""

    coefficients: np.ndarray
    covariance: np.ndarray
    weights: np.ndarray


def gls(x: ArrayLike, y: ArrayLike, v: ArrayLike) -> Fit:
    """statsmodels' GLS with a covariance that is known: its `normalized_cov_params` is (X'V⁻¹X)⁻¹, not rescaled by the residuals."""
    found = sm.GLS(y, x, sigma=v).fit()
    return Fit(found.params, found.normalized_cov_params, found.normalized_cov_params @ np.linalg.solve(v, x).T)


def theil_sen(t: np.ndarray, y: np.ndarray, group: np.ndarray) -> Line:
    """The program's robust line of one window, (1, n)."""
    slopes = pair_slopes(t[0], y[0], group[0], np.array([0, t.shape[1]]), np.inf)
    return robust_line(t, y, group, slopes_within(slopes, np.array([0]), t.shape[1]))


def series(rng, weeks=40, slope=0.5, stop=np.inf, sd=3.5):
    """Two sessions a week around a straight line that stops; times, y."""
    t = np.arange(weeks).repeat(2) + np.tile([1 / 7, 4 / 7], weeks)
    return t, 460 + slope * np.minimum(t, stop) + rng.normal(0, sd, len(t))


def quiet(rng, weeks=40):
    """A series whose residuals stay within 2 SD, so that none is down-weighted."""
    t = np.arange(weeks).repeat(2) + np.tile([1 / 7, 4 / 7], weeks)
    return t, 460 + 0.3 * t + rng.uniform(-2.5, 2.5, len(t))
