"""One straight line per look through the points that the look may use, with the noise that they have."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from dashboard.measures.gls import covariance, gls
from dashboard.measures.noise import outlier_factor, scale_factor
from dashboard.measures.theil_sen import theil_sen
from dashboard.measures.window import Asked, Seen, Stack, of_one_length, seen
from etl.settings import Rules

BANDS = (0, 1)
DAYS = 7


class Fits(NamedTuple):
    """One value per look, (L,). slope in % a week; level in units of y at the look, for the latest band.

    offset: level of the upper band minus that of the lower, nan where the window holds one band. nan too where the
    points say nothing of a slope. sessions, first, last: how many points, and their first and last time.
    on_days: weight of each day's value in the slope, (L, 7 × weeks), by whole days before the look; there: how many points
    the day has. Both have no column where weights were not asked for.
    """

    slope: np.ndarray
    slope_se: np.ndarray
    level: np.ndarray
    level_se: np.ndarray
    offset: np.ndarray
    offset_se: np.ndarray
    sessions: np.ndarray
    first: np.ndarray
    last: np.ndarray
    on_days: np.ndarray
    there: np.ndarray


class Ups(NamedTuple):
    """How a series goes up and down around its line in the last weeks before each look.

    scale (L,): factor on the noise expected. residuals (L, 7 × weeks): in SD expected × scale, by whole days before the
    look, 0 where there is none; there: how many points the day has.
    """

    scale: np.ndarray
    residuals: np.ndarray
    there: np.ndarray


def ups(stack: Stack, asked: Asked, rules: Rules) -> Ups:
    """The scale of each look's noise, from the robust line through its last 26 weeks."""
    points = seen(stack, asked._replace(weeks=np.full(len(asked.end), float(rules.scale_weeks))))
    days = DAYS * rules.scale_weeks
    scale = np.ones(len(asked.end))
    residuals, there = np.zeros((len(asked.end), days)), np.zeros((len(asked.end), days))
    for rows, index in of_one_length(points):
        t, band = stack.t[index], stack.band[index]
        line = theil_sen(t, stack.y[index], band)
        expected = np.maximum(stack.noise[index], stack.readiness[index])
        bands = sum(np.any(band == b, axis=1) for b in BANDS)
        scale[rows] = scale_factor(line.residuals, expected, 1 + bands, rules)
        day = days_before(asked.end[rows], t, days)
        in_sd = np.clip(line.residuals / expected / scale[rows][:, None], -rules.outlier_z, rules.outlier_z)
        residuals[rows], there[rows] = by_day(day, in_sd, days), by_day(day, np.ones(day.shape), days)
    return Ups(scale, residuals, there)


def fit_looks(stack: Stack, asked: Asked, scale: np.ndarray, rules: Rules, weights: bool = False) -> Fits:
    """GLS line of each look's window.

    V as in `gls.covariance`, times the square of `scale` (L,), and the noise variance of points beyond 2 SD from the
    window's Theil-Sen line times (z/2)². weights: whether `on_days` and `there` are wanted.
    """
    points = seen(stack, asked)
    looks = len(asked.end)
    out = {name: np.full(looks, np.nan) for name in ("slope", "slope_se", "level", "level_se", "offset", "offset_se")}
    days = DAYS * int(np.ceil(asked.weeks.max(initial=0))) if weights else 0
    on_days, there = np.zeros((looks, days)), np.zeros((looks, days))
    for rows, index in of_one_length(points):
        if weights:
            there[rows] = by_day(days_before(asked.end[rows], stack.t[index], days), np.ones(index.shape), days)
        sloped = _has_slope(stack.t[index], stack.band[index])
        if not sloped.any():
            continue
        rows, index = rows[sloped], index[sloped]
        t, y, band = stack.t[index], stack.y[index], stack.band[index]
        v = covariance_of(stack, index, scale[rows], rules)
        for name, values in zip(out, _line(t - asked.end[rows][:, None], y, band, v, slope_weights := np.zeros(t.shape)), strict=True):
            out[name][rows] = values
        if weights:
            on_days[rows] = by_day(days_before(asked.end[rows], t, days), slope_weights, days)
    first, last = span(stack, points)
    return Fits(**out, sessions=points.sessions, first=first, last=last, on_days=on_days, there=there)


def covariance_of(stack: Stack, index: np.ndarray, scale: np.ndarray, rules: Rules) -> np.ndarray:
    """V of each window (l, n, n), of its points (l, n)."""
    t, noise, readiness = stack.t[index], stack.noise[index], stack.readiness[index]
    v = covariance(t, noise, readiness, rules.readiness_weeks, stack.reps[index], rules.curve_sd_pct)
    v *= scale[:, None, None] ** 2
    # How far a point lies off is judged without what the repetitions explain: a bad day is one at any number of them.
    sd = scale[:, None] * np.maximum(noise, readiness)
    own = sd**2 * (outlier_factor(theil_sen(t, stack.y[index], stack.band[index]).residuals, sd, rules) - 1)
    diagonal = np.arange(t.shape[1])
    v[:, diagonal, diagonal] += own
    return v


def _line(t: np.ndarray, y: np.ndarray, band: np.ndarray, v: np.ndarray, slope_weights: np.ndarray) -> tuple[np.ndarray, ...]:
    """Slope, its SE, level at the look, its SE, offset between the bands, its SE; the slope's weights are written to the
    last argument. Time is counted from the look, so a level is an intercept.
    """
    inside = [band == b for b in BANDS]
    both = inside[0].any(axis=1) & inside[1].any(axis=1)
    columns = [t, *inside] if both.any() else [t, np.ones_like(t)]
    fit = gls(np.stack(columns, axis=-1), y, v, checked=True)
    row = np.arange(len(t))
    latest = 1 + band[:, -1] if len(columns) > 2 else np.ones(len(t), int)
    slope_weights[...] = fit.weights[:, 0]
    se = np.sqrt(np.maximum(np.einsum("lii->li", fit.covariance), 0.0))
    offset = offset_se = np.full(len(t), np.nan)
    if len(columns) > 2:
        apart = fit.covariance[:, 1, 1] + fit.covariance[:, 2, 2] - 2 * fit.covariance[:, 1, 2]
        offset = np.where(both, fit.coefficients[:, 2] - fit.coefficients[:, 1], np.nan)
        offset_se = np.where(both, np.sqrt(np.maximum(apart, 0.0)), np.nan)
    return fit.coefficients[:, 0], se[:, 0], fit.coefficients[row, latest], se[row, latest], offset, offset_se


def _has_slope(t: np.ndarray, band: np.ndarray) -> np.ndarray:
    """True where some band has points at two times: otherwise a slope cannot be told from the levels."""
    sloped = np.zeros(len(t), bool)
    for b in BANDS:
        here = band == b
        sloped |= np.where(here, t, -np.inf).max(axis=1) > np.where(here, t, np.inf).min(axis=1)
    return sloped


def span(stack: Stack, points: Seen) -> tuple[np.ndarray, np.ndarray]:
    """First and last time of each look's points, (L,); nan without any."""
    some = points.sessions > 0
    t = np.r_[stack.t, np.nan]
    return np.where(some, t[points.begin], np.nan), np.where(some, t[points.end - 1], np.nan)


def days_before(end: np.ndarray, t: np.ndarray, days: int) -> np.ndarray:
    """Whole days from each point to its look, (l, n), at most `days` − 1."""
    return np.minimum(np.rint(DAYS * (end[:, None] - t)).astype(int), days - 1)


def by_day(day: np.ndarray, values: np.ndarray, days: int) -> np.ndarray:
    """Values (l, n) added up by their day (l, n), (l, days)."""
    flat = np.arange(len(day))[:, None] * days + day
    return np.bincount(flat.ravel(), values.ravel(), len(day) * days).reshape(len(day), days)
