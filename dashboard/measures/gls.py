"""Generalised least squares (GLS) of many windows at once, in time proportional to their points.

Aitken AC. On least squares and linear combination of observations. Proc R Soc Edinb 1936;55:42-48 (from memory).

The noise of a session's best set is part its own, part shared with the sessions near it in time (readiness: sleep, fatigue,
illness), an Ornstein-Uhlenbeck process. That is a Markov process, so a Kalman filter takes it out of the points one after another, and a pass back gives V⁻¹ times a column;
no matrix of all pairs is made. Kalman RE. J Basic Eng 1960;82:35-45; de Jong P. Smoothing and interpolation with the
state-space model. J Am Stat Assoc 1989;84:1085-1088 (both from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

# %². Keeps V positive definite when the noise given is below the readiness SD; a tenth of a percent.
OWN_VARIANCE_MIN = 0.01
# Numbers that are worked on at once: a few megabytes, which stay in the processor's cache.
VALUES_AT_ONCE = 300_000


def own_variance(noise_pct: np.ndarray, readiness_sd: np.ndarray) -> np.ndarray:
    """σ² = noise² − s²: the part of the noise's variance that is a session's own, %², at least `OWN_VARIANCE_MIN`; of one shape."""
    return np.maximum(noise_pct**2 - readiness_sd**2, OWN_VARIANCE_MIN)


class Products(NamedTuple):
    """Of each window with columns X: gram X'V⁻¹X, (L, p, p), and solved V⁻¹X of the columns asked for, (q, N)."""

    gram: np.ndarray
    solved: np.ndarray


def products(start: np.ndarray, t: np.ndarray, readiness: np.ndarray, own: np.ndarray, columns: np.ndarray, readiness_weeks: float,
             asked: int = 0) -> Products:
    """V⁻¹ times the columns of each window, with V_ij = [i = j] own_i + s_i s_j exp(−|t_i − t_j|/τ).

    start (L + 1,): window k is points start[k] to start[k + 1]; t: weeks, ascending within a window; readiness: s, one SD;
    own: variance without s², above 0 (`own_variance`); all (N,). columns (p, N), of which the first `asked` are wanted as V⁻¹X too. Units are those of the
    values and weeks.

    >>> found = products(np.array([0, 2]), np.array([0.0, 1]), np.zeros(2), np.array([1.0, 4]), np.ones((1, 2)), 1.0, 1)
    >>> found.gram, found.solved
    (array([[[1.25]]]), array([[1.  , 0.25]]))
    """
    gram, solved = np.zeros((len(start) - 1, len(columns), len(columns))), np.zeros((asked, len(t)))
    for windows, at, there in _padded(start, len(columns)):
        white, steps = _filtered(t[at], readiness[at], own[at], columns[:, at].swapaxes(0, 1), there.sum(axis=1), readiness_weeks)
        by_window = np.ascontiguousarray(white.transpose(2, 1, 0))
        gram[windows] = by_window @ by_window.swapaxes(1, 2)
        if asked:
            solved[:, at[there]] = _carried_back(white[:, :asked], readiness[at], steps).swapaxes(0, 1)[:, there]
    return Products(gram, solved)


def inverted(gram: np.ndarray) -> np.ndarray:
    """The inverse of X'V⁻¹X, (L, p, p). A column of nothing says nothing: its rows and columns come out 0.

    >>> inverted(np.array([[[4.0, 0], [0, 0]]]))
    array([[[0.25, 0.  ],
            [0.  , 0.  ]]])
    """
    silent = (np.einsum("lii->li", gram) == 0)[:, :, None] * np.eye(gram.shape[-1])
    return np.linalg.inv(gram + silent) - silent


class _Steps(NamedTuple):
    """Of a filter: root (n, l) of what each point's variance is divided by, how much of the state goes on to the next point
    (decay) and how much of the point (kept); count (n,): windows with a point at each step."""

    root: np.ndarray
    decay: np.ndarray
    kept: np.ndarray
    count: np.ndarray


def _padded(start: np.ndarray, columns: int) -> Iterator[tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """Windows of similar length together, the longest first: which (l,), their points (n, l), and which of these they have."""
    lengths = np.diff(start)
    order = np.argsort(-lengths, kind="stable")
    order = order[: np.count_nonzero(lengths)]
    while len(order):
        longest = lengths[order[0]]
        windows, order = np.split(order, [max(1, VALUES_AT_ONCE // (longest * columns))])
        step = np.arange(longest)[:, None]
        there = step < lengths[windows]
        yield windows, np.where(there, start[windows] + step, start[windows]), there


def _filtered(t: np.ndarray, s: np.ndarray, own: np.ndarray, columns: np.ndarray, count: np.ndarray, readiness_weeks: float) -> tuple[np.ndarray, _Steps]:
    """Whitened columns (n, p, l), whose products are those with V⁻¹ between, and what the pass back needs.

    t, s, own (n, l); columns (n, p, l); count (n,): how many windows, of the first ones, have a point at each step.
    """
    white = np.zeros(columns.shape)
    decay = np.exp(-np.abs(np.diff(t, axis=0, append=t[-1:])) / readiness_weeks)
    root, kept = np.ones(t.shape), np.zeros(t.shape)
    state, spread = np.zeros(columns.shape[1:]), np.ones(t.shape[1])
    for i, c in enumerate(count):
        state, spread, here, left, new = state[:, :c], spread[:c], s[i, :c], decay[i, :c], white[i, :, :c]
        seen = here * spread
        variance = here * seen + own[i, :c]
        gain = seen / variance
        root[i, :c] = 1 / np.sqrt(variance)
        kept[i, :c] = left * gain
        np.multiply(state, -here, out=new)
        new += columns[i, :, :c]
        state = left * state + kept[i, :c] * new
        new *= root[i, :c]
        spread = 1 - left * left * (1 - spread * (1 - gain * here))
    return white, _Steps(root, decay, kept, count)


def _carried_back(white: np.ndarray, s: np.ndarray, steps: _Steps) -> np.ndarray:
    """V⁻¹ times the columns that were whitened, (n, q, l)."""
    whole = white * steps.root[:, None]
    later = np.zeros(white.shape[1:])
    for i in reversed(range(len(whole))):
        c = steps.count[i]
        after, here = later[:, :c], whole[i, :, :c]
        here -= steps.kept[i, :c] * after
        after *= steps.decay[i, :c]
        after += s[i, :c] * here
    return whole
