"""Lines with one bend at a known time: what has become of a trend since, given all that came before.

A line through eight weeks by itself says little of its slope. A line that may bend eight weeks ago and has to go on where the
history left off says much more, since the history fixes where it starts.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from dashboard.measures.window import Asked, Stack, of_one_length, seen
from dashboard.measures.window_fit import BANDS, DAYS, by_day, covariance_of, days_before, span
from etl.settings import Rules


class Bent(NamedTuple):
    """What each look's points say of the slopes before and after the bend, levels taken out.

    information (L, 2, 2) and score (L, 2): X'V⁻¹X and X'V⁻¹y of (before, after); on_days (L, 2, days): the weights of each
    day's value in the score, by whole days before the look. sessions, first, last (L,); there (L, days): points of a day.
    """

    information: np.ndarray
    score: np.ndarray
    on_days: np.ndarray
    sessions: np.ndarray
    first: np.ndarray
    last: np.ndarray
    there: np.ndarray


def fit_bent(stack: Stack, asked: Asked, scale: np.ndarray, bends: tuple[float, ...], rules: Rules) -> list[Bent]:
    """One fit for each place of the bend, weeks before the look, through the points of `rules.scale_weeks` weeks.

    y = level + before·min(t + k, 0) + after·max(t, −k), t in weeks from the look, k the bend: one line, continuous, with a
    level for each repetition band. V as for a straight line (`window_fit.fit_looks`).
    """
    points = seen(stack, asked._replace(weeks=np.full(len(asked.end), float(rules.scale_weeks))))
    looks, days = len(asked.end), DAYS * rules.scale_weeks
    there = np.zeros((looks, days))
    found = [(np.zeros((looks, 2, 2)), np.zeros((looks, 2)), np.zeros((looks, 2, days))) for _ in bends]
    for rows, index in of_one_length(points):
        t, y, band = stack.t[index] - asked.end[rows][:, None], stack.y[index], stack.band[index]
        day = days_before(asked.end[rows], stack.t[index], days)
        there[rows] = by_day(day, np.ones(t.shape), days)
        levels = np.stack([band == b for b in BANDS], axis=-1).astype(float)
        sloped = [np.stack([np.minimum(t + k, 0.0), np.maximum(t, -k)], axis=-1) for k in bends]
        solved = np.linalg.solve(covariance_of(stack, index, scale[rows], rules), np.concatenate([levels, *sloped], axis=-1))
        of_levels = np.swapaxes(solved[..., :2], -1, -2)
        silent = ~levels.any(axis=1)
        inverse = np.linalg.inv(of_levels @ levels + silent[..., None] * np.eye(2))
        for place, (x, (information, score, on_days)) in enumerate(zip(sloped, found, strict=True)):
            own = np.swapaxes(solved[..., 2 + 2 * place : 4 + 2 * place], -1, -2)
            weights = own - (own @ levels) @ inverse @ of_levels
            information[rows], score[rows] = weights @ x, (weights @ y[..., None])[..., 0]
            for side in (0, 1):
                on_days[rows, side] = by_day(day, weights[:, side], days)
    first, last = span(stack, points)
    return [Bent(*one, points.sessions, first, last, there) for one in found]
