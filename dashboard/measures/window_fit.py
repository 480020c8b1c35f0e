"""One straight line per look through the points that the look may use, with the noise that they have."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from dashboard.measures.gls import Products, inverted, own_variance, products
from dashboard.measures.noise import outlier_factor, scale_factor
from dashboard.measures.theil_sen import robust_line, slopes_within
from dashboard.measures.window import Asked, Points, Seen, Stack, all_points, of_one_length, seen
from etl.settings import Rules

BANDS = (0, 1)
DAYS = 7


class Fits(NamedTuple):
    """One value per look, (L,). slope in % a week; level in units of y at the look, for the latest band.

    offset: level of the upper band minus that of the lower, nan where the window holds one band. nan too where the
    points say nothing of a slope. sessions, first, last: how many points, and their first and last time.
    on_days: what one SD of each day's readiness moves the slope by, % a week, (L, 7 × weeks), by whole days before the look (its
    weight in the slope times the readiness); there: how many points the day has. Both have no column where weights were not asked for.
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
    look, 0 where there is none; there: how many points the day has. start, off: the residuals in %, look after look, those of
    look k are off[start[k]] to off[start[k + 1]].
    """

    scale: np.ndarray
    residuals: np.ndarray
    there: np.ndarray
    start: np.ndarray
    off: np.ndarray

    def of(self, looks: np.ndarray) -> Ups:
        """The same of some looks, (l,)."""
        counts = self.start[looks + 1] - self.start[looks]
        start = np.r_[0, np.cumsum(counts)]
        at = np.arange(start[-1]) + np.repeat(self.start[looks] - start[:-1], counts)
        return Ups(self.scale[looks], self.residuals[looks], self.there[looks], start, self.off[at])


def ups(stack: Stack, asked: Asked, rules: Rules) -> Ups:
    """The scale of each look's noise, from the robust line through its last 26 weeks."""
    points = seen(stack, asked._replace(weeks=np.full(len(asked.end), float(rules.scale_weeks))))
    every = all_points(points)
    expected = np.maximum(stack.noise, stack.readiness)
    scale, off = np.ones(len(asked.end)), np.zeros(len(every.index))
    for rows, index, place, residuals in _robust_lines(stack, points, every.start):
        bands = sum(np.any(stack.band[index] == b, axis=1) for b in BANDS)
        scale[rows] = scale_factor(residuals, expected[index], 1 + bands, rules)
        off[place] = residuals
    days = DAYS * rules.scale_weeks
    day = days_before(asked, stack, every, days)
    in_sd = np.clip(off / (expected[every.index] * scale[every.look]), -rules.outlier_z, rules.outlier_z)
    return Ups(scale, by_day(day, in_sd, len(scale), days), by_day(day, np.ones(len(day)), len(scale), days), every.start, off)


def fit_looks(stack: Stack, asked: Asked, around: Ups, rules: Rules, weights: bool = False) -> Fits:
    """GLS line of each look's window.

    V as in `gls.products`, times the square of the scale of `around`, and the noise variance of points beyond 2 SD from the
    window's Theil-Sen line times (z/2)². weights: whether `on_days` and `there` are wanted.
    """
    points, scale = seen(stack, asked), around.scale
    every, looks = all_points(points), len(asked.end)
    off = _off(stack, points, every, around)
    # Time is counted from the look, so a level is an intercept.
    t, band = stack.t[every.index] - asked.end[every.look], stack.band[every.index]
    columns = np.array([t, *(band == b for b in BANDS), stack.y[every.index]])
    found = whitened(stack, every, scale, off, columns, 3 if weights else 0, rules)
    line, in_slope = _line(found.gram, _has_slope(points, every, t, band), np.r_[stack.band, 0][points.end - 1], scale)
    days = DAYS * int(np.ceil(asked.weeks.max(initial=0))) if weights else 0
    on_days = there = np.zeros((looks, days))
    if weights:
        day = days_before(asked, stack, every, days)
        slope_weights = np.einsum("nj,jn->n", in_slope[every.look], found.solved)
        on_days, there = by_day(day, slope_weights * stack.readiness[every.index], looks, days), by_day(day, np.ones(len(day)), looks, days)
    first, last = span(stack, points)
    return Fits(*line, sessions=points.sessions, first=first, last=last, on_days=on_days, there=there)


def _off(stack: Stack, points: Seen, every: Points, around: Ups) -> np.ndarray:
    """Residuals of each look's points from their robust line, (N,); where `around` saw the same points, its residuals."""
    same = points.sessions == np.diff(around.start)
    off = np.empty(len(every.index))
    off[same[every.look]] = around.off[np.repeat(same, np.diff(around.start))]
    for _, _, place, residuals in _robust_lines(stack, points._replace(end=np.where(same, points.begin, points.end)), every.start):
        off[place] = residuals
    return off


def _robust_lines(stack: Stack, points: Seen, start: np.ndarray) -> Iterator[tuple[np.ndarray, ...]]:
    """Of looks with equally many points: which they are (l,), their points, the places of these among the points of all looks,
    and their residuals from the robust line, (l, n). start: where each look's points begin there.
    """
    for rows, index in of_one_length(points):
        slopes = slopes_within(stack.slopes, points.begin[rows], index.shape[1])
        line = robust_line(stack.t[index], stack.y[index], stack.band[index], slopes)
        yield rows, index, start[rows][:, None] + np.arange(index.shape[1]), line.residuals


def whitened(stack: Stack, points: Points, scale: np.ndarray, off: np.ndarray, columns: np.ndarray, asked: int,
             rules: Rules) -> Products:
    """`products` of columns (p, N) of the looks' points, with V in units of scale² %².

    The variance of points that lie far off is larger. off (N,): residuals from a robust line.
    """
    noise, readiness = stack.noise[points.index], stack.readiness[points.index]
    expected = np.maximum(noise, readiness)
    own = own_variance(noise, readiness) + expected**2 * (outlier_factor(off, scale[points.look] * expected, rules) - 1)
    return products(points.start, stack.t[points.index], readiness, own, columns, rules.readiness_weeks, asked)


def _line(gram: np.ndarray, sloped: np.ndarray, latest: np.ndarray, scale: np.ndarray) -> tuple[tuple[np.ndarray, ...], np.ndarray]:
    """Slope, its SE, level, its SE, offset between the bands, its SE, each (L,), nan where not `sloped`; and what V⁻¹ times each
    column counts for in the slope, (L, 3).

    latest (L,): band of the last point. A band without points says nothing: its level and variance come out 0.
    """
    gram = gram[sloped]
    covariance = inverted(gram[:, :3, :3])
    coefficients = np.einsum("lij,lj->li", covariance, gram[:, :3, 3])
    weights = np.zeros((len(sloped), 3))
    weights[sloped] = covariance[:, 0]
    se = scale[sloped, None] * np.sqrt(np.maximum(np.einsum("lii->li", covariance), 0.0))
    row, now = np.arange(len(gram)), 1 + latest[sloped]
    both = (covariance[:, 1, 1] > 0) & (covariance[:, 2, 2] > 0)
    apart = covariance[:, 1, 1] + covariance[:, 2, 2] - 2 * covariance[:, 1, 2]
    offset = np.where(both, coefficients[:, 2] - coefficients[:, 1], np.nan)
    offset_se = np.where(both, scale[sloped] * np.sqrt(np.maximum(apart, 0.0)), np.nan)
    line = (coefficients[:, 0], se[:, 0], coefficients[row, now], se[row, now], offset, offset_se)
    return tuple(_spread(values, sloped) for values in line), weights


def _spread(values: np.ndarray, where: np.ndarray) -> np.ndarray:
    out = np.full(len(where), np.nan)
    out[where] = values
    return out


def _has_slope(points: Seen, every: Points, t: np.ndarray, band: np.ndarray) -> np.ndarray:
    """True where some band has points at two times: otherwise a slope cannot be told from the levels."""
    sloped, some = np.zeros(len(points.begin), bool), points.sessions > 0
    starts = every.start[:-1][some]
    if len(starts):
        for b in BANDS:
            here = band == b
            sloped[some] |= np.maximum.reduceat(np.where(here, t, -np.inf), starts) > np.minimum.reduceat(np.where(here, t, np.inf), starts)
    return sloped


def span(stack: Stack, points: Seen) -> tuple[np.ndarray, np.ndarray]:
    """First and last time of each look's points, (L,); nan without any."""
    some = points.sessions > 0
    t = np.r_[stack.t, np.nan]
    return np.where(some, t[points.begin], np.nan), np.where(some, t[points.end - 1], np.nan)


def days_before(asked: Asked, stack: Stack, points: Points, days: int) -> np.ndarray:
    """Whole days from each point to its look, (N,), at most `days` − 1; as a place in a table of (L, days)."""
    before = np.rint(DAYS * (asked.end[points.look] - stack.t[points.index])).astype(int)
    return points.look * days + np.minimum(before, days - 1)


def by_day(day: np.ndarray, values: np.ndarray, looks: int, days: int) -> np.ndarray:
    """Values (N,) added up by their look and day (see `days_before`), (L, days)."""
    return np.bincount(day, values, looks * days).reshape(looks, days)
