"""One straight line per look through the points that the look may use, with the noise that they have."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from dashboard.measures.gls import covariance, gls
from dashboard.measures.noise import outlier_factor, scale_factor
from dashboard.measures.theil_sen import theil_sen
from dashboard.measures.window import Series, Windows, cut
from etl.settings import Rules


class LookFits(NamedTuple):
    """One value per look, (L,). slope in % a week; level in units of y at the look, for the latest band.

    nan where the points say nothing of a slope. times: of the points used, (L, m), nan for padding.
    """

    slope: np.ndarray
    slope_se: np.ndarray
    level: np.ndarray
    level_se: np.ndarray
    scale: np.ndarray
    times: np.ndarray


def fit_looks(series: Series, look_weeks: np.ndarray, first_week: np.ndarray, window_weeks: float, rules: Rules) -> LookFits:
    """GLS line of each look's window, of a series in time order.

    V as in `gls.covariance`, times the square of the factor that the last 26 weeks give, and the variance of
    points beyond 2 SD from the window's Theil-Sen line times (z/2)².
    """
    scale = _scale(cut(series, look_weeks, first_week, rules.scale_weeks), rules)
    windows = cut(series, look_weeks, first_week, window_weeks)
    v = _covariance(windows, scale, rules)
    slope, slope_se, level, level_se = _lines(windows, look_weeks, v)
    return LookFits(slope, slope_se, level, level_se, scale, np.where(windows.used, windows.t, np.nan))


def _scale(windows: Windows, rules: Rules) -> np.ndarray:
    line = theil_sen(windows.t, windows.y, windows.band, windows.used)
    expected = np.maximum(windows.noise, rules.readiness_sd_pct)
    bands = sum(np.any(windows.used & (windows.band == b), axis=1) for b in np.unique(windows.band))
    return scale_factor(line.residuals, expected, 1 + bands, rules)


def _covariance(windows: Windows, scale: np.ndarray, rules: Rules) -> np.ndarray:
    """V of each window (L, m, m); padding is given variance 1 and no covariance."""
    v = covariance(windows.t, windows.noise, rules.readiness_sd_pct, rules.readiness_weeks) * scale[:, None, None] ** 2
    diagonal = np.einsum("...ii->...i", v)
    line = theil_sen(windows.t, windows.y, windows.band, windows.used)
    own = diagonal * outlier_factor(line.residuals, np.sqrt(diagonal), rules)
    both = windows.used[:, :, None] & windows.used[:, None, :] & ~np.eye(v.shape[-1], dtype=bool)
    return np.where(both, v, 0.0) + np.where(windows.used, own, 1.0)[..., None] * np.eye(v.shape[-1])


def _lines(windows: Windows, look_weeks: np.ndarray, v: np.ndarray) -> tuple[np.ndarray, ...]:
    """Slope, its SE, level at the look and its SE. Time is counted from the look, so a level is an intercept."""
    bands = np.unique(windows.band)
    inside = [windows.used & (windows.band == b) for b in bands]
    out = np.full((4, len(look_weeks)), np.nan)
    sloped = np.flatnonzero(_has_slope(windows, inside))
    if len(sloped) == 0:
        return tuple(out)
    t = np.where(windows.used, windows.t - look_weeks[:, None], 0.0)
    x = np.stack([t, *inside], axis=-1)[sloped]
    fit = gls(x, windows.y[sloped], v[sloped])
    latest = 1 + np.searchsorted(bands, _latest(windows.band, windows.used)[sloped])
    row = np.arange(len(sloped))
    out[0, sloped], out[1, sloped] = fit.coefficients[:, 0], np.sqrt(fit.covariance[:, 0, 0])
    out[2, sloped], out[3, sloped] = fit.coefficients[row, latest], np.sqrt(fit.covariance[row, latest, latest])
    return tuple(out)


def _has_slope(windows: Windows, inside: list[np.ndarray]) -> np.ndarray:
    """True where some band has points at two times: otherwise a slope cannot be told from the levels."""
    sloped = np.zeros(len(windows.t), dtype=bool)
    for here in inside:
        first, last = span(np.where(here, windows.t, np.nan))
        sloped |= last > first
    return sloped


def _latest(values: np.ndarray, used: np.ndarray) -> np.ndarray:
    """The last used value of each row; the points come first and in time order."""
    return values[np.arange(len(values)), np.maximum(used.sum(axis=1) - 1, 0)]


def span(times: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Earliest and latest time of each row (L, m) -> (L,), (L,); nan without any."""
    none = np.isnan(times).all(axis=1)
    first, last = np.fmin.reduce(times, axis=1, initial=np.inf), np.fmax.reduce(times, axis=1, initial=-np.inf)
    return np.where(none, np.nan, first), np.where(none, np.nan, last)
