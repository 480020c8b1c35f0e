"""Generalised least squares (GLS) with a known covariance, for one fit or a stack of fits.

Aitken AC. On least squares and linear combination of observations. Proc R Soc Edinb 1936;55:42-48 (from memory).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike


class Fit(NamedTuple):
    """Coefficients (..., p), their covariance (..., p, p), and the weights (..., p, n) with coefficients = weights @ y."""

    coefficients: np.ndarray
    covariance: np.ndarray
    weights: np.ndarray


def gls(x_design: ArrayLike, y: ArrayLike, v: ArrayLike, checked: bool = False) -> Fit:
    """β = (X'V⁻¹X)⁻¹ X'V⁻¹y and cov(β) = (X'V⁻¹X)⁻¹.

    x_design (..., n, p), y (..., n), v (..., n, n): leading axes are a stack of separate fits. The covariance
    comes from V as given, in the squared units of y, and is not rescaled by the residuals. checked: V is known to be a
    covariance. A column of zeros
    says nothing: its coefficient and variance come out 0. Raises numpy.linalg.LinAlgError where V is not
    positive definite or the columns are linearly dependent.

    >>> fit = gls([[1, 0], [1, 1], [1, 2]], [1, 2, 3], np.eye(3))
    >>> fit.coefficients.round(6)
    array([1., 1.])
    """
    x, y, v = np.asarray(x_design, dtype=float), np.asarray(y, dtype=float), np.asarray(v, dtype=float)
    if not checked:
        np.linalg.cholesky(v)  # refuses what is no covariance; solving alone would not
    inverse_x = np.swapaxes(np.linalg.solve(v, x), -1, -2)
    silent = ~np.any(x != 0, axis=-2)
    lone = silent[..., None] * np.eye(x.shape[-1])
    covariance = np.linalg.inv(inverse_x @ x + lone)
    weights = covariance @ inverse_x
    return Fit((weights @ y[..., None])[..., 0], covariance - lone, weights)


def covariance(
    t_weeks: ArrayLike, noise_pct: ArrayLike, readiness_sd: ArrayLike, readiness_weeks: float, reps: ArrayLike | None = None, curve_sd: float = 0.0,
) -> np.ndarray:
    """V_ij = [i = j] σ_i² + s_i s_j exp(−|t_i − t_j|/τ) + c² (r_i − r̄)(r_j − r̄), with σ_i² = noise_i² − s_i²; (..., n, n), in %².

    The noise of a session's best set is part its own, part shared with the sessions near it in time
    (readiness: sleep, fatigue, illness), an Ornstein-Uhlenbeck process of SD s and time constant τ. t_weeks,
    noise_pct (total, one SD) and readiness_sd are (..., n), the last may be one number. Own variance never falls below
    `OWN_VARIANCE_MIN`. reps (..., n), curve_sd: people differ in how many repetitions they manage at a share of their
    maximum, so that sets of more repetitions read higher or lower than sets of fewer, by c % a repetition (one SD).

    >>> covariance([0, 1], [2.5, 2.5], 1.5, 1.0).round(4)
    array([[6.25  , 0.8277],
           [0.8277, 6.25  ]])
    """
    t, noise = np.asarray(t_weeks, dtype=float), np.asarray(noise_pct, dtype=float)
    s = np.broadcast_to(np.asarray(readiness_sd, dtype=float), t.shape)
    own = np.maximum(noise**2 - s**2, OWN_VARIANCE_MIN)
    v = np.exp(-np.abs(t[..., :, None] - t[..., None, :]) / readiness_weeks)
    v *= s[..., :, None] * s[..., None, :]
    if reps is not None and curve_sd:
        r = np.broadcast_to(np.asarray(reps, dtype=float), t.shape)
        apart = curve_sd * (r - r.mean(axis=-1, keepdims=True))
        v += apart[..., :, None] * apart[..., None, :]
    diagonal = np.arange(t.shape[-1])
    v[..., diagonal, diagonal] += own
    return v


# %². Keeps V positive definite when the noise given is below the readiness SD; a tenth of a percent.
OWN_VARIANCE_MIN = 0.01
