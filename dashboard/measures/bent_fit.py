"""Lines with one bend at a known time: what has become of a trend since, given all that came before.

A line through eight weeks by itself says little of its slope. A line that may bend eight weeks ago and has to go on where the
history left off says much more, since the history fixes where it starts.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from dashboard.measures.gls import inverted
from dashboard.measures.window import Asked, Stack, all_points, seen
from dashboard.measures.window_fit import BANDS, DAYS, Ups, by_day, days_before, span, whitened
from etl.settings import Rules


class Bent(NamedTuple):
    """What each look's points say of the slopes before and after the bend, levels taken out.

    information (L, 2, 2) and score (L, 2): X'V⁻¹X and X'V⁻¹y of (before, after); on_days (L, 2, days): what one SD of
    each day's readiness moves the score by, by whole days before the look. sessions, first, last (L,).
    """

    information: np.ndarray
    score: np.ndarray
    on_days: np.ndarray
    sessions: np.ndarray
    first: np.ndarray
    last: np.ndarray


def fit_bent(stack: Stack, asked: Asked, around: Ups, bends: tuple[float, ...], rules: Rules) -> list[Bent]:
    """One fit for each place of the bend, weeks before the look, through the points of `rules.scale_weeks` weeks.

    y = level + before·min(t + k, 0) + after·max(t, −k), t in weeks from the look, k the bend: one line, continuous, with a
    level for each repetition band. V as for a straight line (`window_fit.fit_looks`). around: of these looks.
    """
    points = seen(stack, asked._replace(weeks=np.full(len(asked.end), float(rules.scale_weeks))))
    every, looks, days = all_points(points), len(asked.end), DAYS * rules.scale_weeks
    day = days_before(asked, stack, every, days)
    t, band = stack.t[every.index] - asked.end[every.look], stack.band[every.index]
    sloped = [column for k in bends for column in (np.minimum(t + k, 0.0), np.maximum(t, -k))]
    columns = np.array([*(band == b for b in BANDS), *sloped, stack.y[every.index]])
    gram, solved = whitened(stack, every, around.scale, around.off, columns, len(columns) - 1, rules)
    # In %² again, and the levels taken out of the other columns.
    gram, solved = gram / around.scale[:, None, None] ** 2, solved / around.scale[every.look] ** 2
    level = gram[:, 2:, :2] @ inverted(gram[:, :2, :2])
    own = gram[:, 2:, 2:] - level @ gram[:, :2, 2:]
    weights = (solved[2:] - np.einsum("nab,bn->an", level[every.look, :-1], solved[:2])) * stack.readiness[every.index]
    first, last = span(stack, points)
    found = []
    for a in range(0, 2 * len(bends), 2):
        on_days = np.empty((looks, 2, days))
        for side in (0, 1):
            on_days[:, side] = by_day(day, weights[a + side], looks, days)
        found.append(Bent(own[:, a : a + 2, a : a + 2], own[:, a : a + 2, -1], on_days, points.sessions, first, last))
    return found
