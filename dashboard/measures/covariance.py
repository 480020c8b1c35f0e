"""How the values of one series vary together around their trend: the definition that `gls.products` is held against."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

# %². Keeps V positive definite when the noise given is below the readiness SD; a tenth of a percent.
OWN_VARIANCE_MIN = 0.01


def covariance(t_weeks: ArrayLike, noise_pct: ArrayLike, readiness_sd: ArrayLike, readiness_weeks: float) -> np.ndarray:
    """V_ij = [i = j] σ_i² + s_i s_j exp(−|t_i − t_j|/τ), with σ_i² = noise_i² − s_i²; (..., n, n), in %².

    The noise of a session's best set is part its own, part shared with the sessions near it in time
    (readiness: sleep, fatigue, illness), an Ornstein-Uhlenbeck process of SD s and time constant τ. t_weeks,
    noise_pct (total, one SD) and readiness_sd are (..., n), the last may be one number. Own variance never falls below
    `OWN_VARIANCE_MIN`.

    >>> covariance([0, 1], [2.5, 2.5], 1.5, 1.0).round(4)
    array([[6.25  , 0.8277],
           [0.8277, 6.25  ]])
    """
    t, noise = np.asarray(t_weeks, dtype=float), np.asarray(noise_pct, dtype=float)
    s = np.broadcast_to(np.asarray(readiness_sd, dtype=float), t.shape)
    v = np.exp(-np.abs(t[..., :, None] - t[..., None, :]) / readiness_weeks)
    v *= s[..., :, None] * s[..., None, :]
    diagonal = np.arange(t.shape[-1])
    v[..., diagonal, diagonal] += own_variance(noise, s)
    return v


def own_variance(noise_pct: np.ndarray, readiness_sd: np.ndarray) -> np.ndarray:
    """The part of the noise's variance that is a session's own, %²; of one shape."""
    return np.maximum(noise_pct**2 - readiness_sd**2, OWN_VARIANCE_MIN)
