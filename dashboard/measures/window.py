"""Which points each look may use: many series end to end, and the stretch of its series that a look sees."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from dashboard.measures.theil_sen import pair_slopes
from etl.settings import RULES, Rules

# Pairs of points that are worked on at once: a few megabytes, which stay in the processor's cache.
PAIRS_AT_ONCE = 400_000


class Series(NamedTuple):
    """Sessions of one exercise, one value each. All (n,); all but the first two may be one number for all.

    t_weeks: time; y: 100 ln(value); noise: one SD of y, %; band: 0 or 1, repetition bands with levels of their
    own. first_week: if this exercise restarts apart from others, the earliest time per look, (L,) or one number.
    readiness: the part of the noise that near sessions share, one SD, % (None: of an estimated maximum).
    """

    t_weeks: ArrayLike
    y: ArrayLike
    noise: ArrayLike
    band: ArrayLike
    first_week: ArrayLike = -np.inf
    readiness: ArrayLike | None = None


class Stack(NamedTuple):
    """Series one after another, each in order of time. All but the last two (N,); series i is begin[i] to begin[i + 1].

    slopes: of all pairs of points that a look may see together (`theil_sen.pair_slopes`).
    """

    t: np.ndarray
    y: np.ndarray
    noise: np.ndarray
    band: np.ndarray
    readiness: np.ndarray
    begin: np.ndarray
    slopes: np.ndarray


class Asked(NamedTuple):
    """Looks: at which series, at what time, with points from when on, over how many weeks. All (L,)."""

    series: np.ndarray
    end: np.ndarray
    first: np.ndarray
    weeks: np.ndarray


class Seen(NamedTuple):
    """The points of each look, begin to end of the stack's arrays, (L,) each."""

    begin: np.ndarray
    end: np.ndarray

    @property
    def sessions(self) -> np.ndarray:
        return self.end - self.begin


class Points(NamedTuple):
    """The points of all looks, look after look: those of look k are start[k] to start[k + 1], (L + 1,).

    look, index (N,): whose point it is, and its place in the stack.
    """

    start: np.ndarray
    look: np.ndarray
    index: np.ndarray


def in_time_order(series: Series, rules: Rules = RULES) -> Series:
    """The series sorted by time, as arrays, without points that have no time, value or noise."""
    t, y = np.asarray(series.t_weeks, dtype=float), np.asarray(series.y, dtype=float)
    readiness = rules.readiness_sd_pct if series.readiness is None else series.readiness
    noise, band, readiness = (np.broadcast_to(np.asarray(x, dtype=float), t.shape) for x in (series.noise, series.band, readiness))
    known = np.isfinite(t) & np.isfinite(y) & np.isfinite(noise)
    order = np.flatnonzero(known)[np.argsort(t[known], kind="stable")]
    return Series(t[order], y[order], noise[order], band[order].astype(int), series.first_week, readiness[order])


def stacked(series: Sequence[Series], rules: Rules = RULES, weeks: float = 0.0) -> Stack:
    """Series in order of time, end to end, for looks of at most `weeks`, or of the longest window of the rules."""
    ordered = [in_time_order(one, rules) for one in series]
    lengths = [len(one.t_weeks) for one in ordered]
    t, y, noise, band, readiness = (
        np.concatenate([np.empty(0), *(getattr(one, name) for one in ordered)]) for name in ("t_weeks", "y", "noise", "band", "readiness"))
    return stack_of(t, y, noise, band.astype(int), readiness, np.r_[0, np.cumsum(lengths, dtype=int)], max(weeks, longest_window(rules)))


def longest_window(rules: Rules = RULES) -> float:
    """Weeks of the longest look that the rules know."""
    own = [weeks for longer in rules.noisy_windows.values() for _, weeks in longer]
    return float(max(rules.scale_weeks, *rules.window_weeks.values(), *own))


def stack_of(t: np.ndarray, y: np.ndarray, noise: np.ndarray, band: np.ndarray, readiness: np.ndarray, begin: np.ndarray, weeks: float) -> Stack:
    """A stack of series in order of time, for looks of at most `weeks`."""
    return Stack(t, y, noise, band, readiness, begin, pair_slopes(t, y, band, begin, weeks))


def seen(stack: Stack, asked: Asked) -> Seen:
    """Points with end − weeks < t <= end and t >= first: a look sees nothing later than itself."""
    begin, end = np.zeros(len(asked.end), int), np.zeros(len(asked.end), int)
    for number, rows in _alike(asked.series):
        start = stack.begin[number]
        t = stack.t[start : stack.begin[number + 1]]
        oldest = np.maximum(np.searchsorted(t, asked.end[rows] - asked.weeks[rows], side="right"), np.searchsorted(t, asked.first[rows], side="left"))
        newest = np.searchsorted(t, asked.end[rows], side="right")
        begin[rows], end[rows] = start + np.minimum(oldest, newest), start + newest
    return Seen(begin, end)


def all_points(points: Seen) -> Points:
    """The points of all looks, end to end."""
    start = np.r_[0, np.cumsum(points.sessions)]
    look = np.repeat(np.arange(len(points.begin)), points.sessions)
    return Points(start, look, np.arange(start[-1]) + (points.begin - start[:-1])[look])


def of_one_length(points: Seen) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """Looks with equally many points together, without padding: (which looks (l,), their points (l, n)), in pieces.

    Looks without a point are left out.
    """
    for n, rows in _alike(points.sessions):
        if n:
            pieces = -(-len(rows) * n * n // (2 * PAIRS_AT_ONCE))
            for piece in np.array_split(rows, min(pieces, len(rows))):
                yield piece, points.begin[piece][:, None] + np.arange(n)


def _alike(values: np.ndarray) -> Iterator[tuple[int, np.ndarray]]:
    """Each value with the places where it stands, in order."""
    order = np.argsort(values, kind="stable")
    at = np.flatnonzero(np.diff(values[order])) + 1
    for rows in np.split(order, at) if len(values) else []:
        yield int(values[rows[0]]), rows
