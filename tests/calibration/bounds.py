"""What anyone could reach: detectors that know what the program has to find out.

Of a stop: the likelihood of "it stopped in week s" against "it goes on", the best s, when level, gain, noise and the shape
of the path are known (a generalised likelihood ratio, Willsky and Jones 1976, IEEE Trans Autom Control 21:108). Its limit is
set so that it makes as many false calls a year as the target allows. Noise is normal, without bad days.
Of a week's load: a limit on ln(load) when usual and noise are known.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.stats import norm

from tests.calibration.athletes import training_days
from tests.calibration.counting import WEEKS_A_YEAR
from tests.calibration.paths import Path
from tests.calibration.variation import READINESS_SD, READINESS_WEEKS

PEOPLE, STOP, AFTER, FIRST = 400, 36, 24, 10


def stop_found(gain: float, after: int, false_a_year: float, noise: float = 3.5, exercises: int = 1, shared: bool = False, seed: int = 9) -> float:
    """Share (%) found within `after` weeks by the detector that knows, at `false_a_year` false calls a year. gain: % a week."""
    score = _all_scores(gain, noise, exercises, shared, seed)
    limit = first(lambda value: _false(score > value) <= false_a_year)
    return _found(score, after, limit)


def false_calls(gain: float, after: int, found_pct: float, noise: float = 3.5, seed: int = 9) -> float:
    """False calls a year by the same detector where it finds `found_pct` % of stops within `after` weeks, and no more."""
    score = _all_scores(gain, noise, 1, False, seed)
    return _false(score > first(lambda value: _found(score, after, value) <= found_pct))


def _all_scores(gain: float, noise: float, exercises: int, shared: bool, seed: int) -> np.ndarray:
    return np.array([_scores(gain, noise, exercises, shared, np.random.default_rng([seed, i])) for i in range(PEOPLE)])


def first(holds: Callable[[float], bool]) -> float:
    """The least limit from which on something holds, by halving."""
    low, high = 0.0, 50.0
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (low, middle) if holds(middle) else (middle, high)
    return high


def _found(score: np.ndarray, after: int, limit: float) -> float:
    return 100 * float((score[:, STOP - 1 : STOP + after] > limit).any(axis=1).mean())


def _false(on: np.ndarray) -> float:
    before = np.concatenate([np.zeros((len(on), 1), bool), on[:, :-1]], axis=1)
    return float((on & ~before)[:, FIRST:STOP].sum() / on[:, FIRST:STOP].size * WEEKS_A_YEAR)


def _scores(gain: float, noise: float, exercises: int, shared: bool, rng: np.random.Generator) -> np.ndarray:
    """The largest log likelihood ratio of any stop by each week's end, (weeks,)."""
    weeks = STOP + AFTER
    days = [training_days(weeks, Path(0.0), rng) for _ in range(exercises)]
    t, which = np.concatenate(days) / 7, np.repeat(np.arange(exercises), [len(d) for d in days])
    order = np.argsort(t, kind="stable")
    t, which = t[order], which[order]
    same = np.ones((len(t), len(t)), bool) if shared else which[:, None] == which[None, :]
    times = noise / 3.5
    v = (times * READINESS_SD) ** 2 * np.exp(-np.abs(t[:, None] - t) / READINESS_WEEKS) * same + (noise**2 - (times * READINESS_SD) ** 2) * np.eye(len(t))
    root = np.linalg.cholesky(v)
    stops = np.arange(weeks)
    lost = -gain * np.maximum(t[:, None] - stops, 0)
    seen = -gain * np.maximum(t - STOP, 0) + root @ rng.normal(size=len(t))
    # Whitening is causal: sums up to a day are the likelihood of what was known on it.
    white = np.linalg.solve(root, np.column_stack([seen, lost]))
    run = np.cumsum(white[:, :1] * white[:, 1:] - white[:, 1:] ** 2 / 2, axis=0)
    last = np.searchsorted(t, stops + 1.0, side="left") - 1
    return np.where(last >= 0, run[np.maximum(last, 0)].max(axis=1), 0.0)


def week_found(size: float, spread_pct: float, false_a_year: float) -> float:
    """Share (%) of one-week jumps of a size found, where usual and noise (SD of ln(load), %) are known."""
    limit = norm.isf(min(false_a_year / WEEKS_A_YEAR, 0.5))
    return 100 * float(norm.sf(limit - np.log(size) / (spread_pct / 100)))


def alert_weeks(size: float, found_pct: list[float], spread_pct: list[float], series: list[float]) -> float:
    """Weeks a year with a false alert of any of several series of weekly loads, where usual and noise are known and jumps of
    `size` are found as often (%) as given. series: how many there are of each kind; they go up and down independently.
    """
    quiet = 1.0
    for share, spread, count in zip(found_pct, spread_pct, series, strict=True):
        limit = np.log(size) / (spread / 100) - norm.ppf(min(share, 99.9) / 100)
        quiet *= norm.cdf(limit) ** count
    return WEEKS_A_YEAR * float(1 - quiet)


def lasting_found(size: float, weeks: int, spread_pct: float, false_a_year: float, seed: int = 9) -> float:
    """Share (%) found within `weeks` weeks of a lasting rise: by the best sum of the last 1 to `weeks` weeks."""
    rng = np.random.default_rng(seed)
    noise = rng.normal(0, spread_pct / 100, (200_000 + weeks, 1))[:, 0]
    step = np.log(size)
    score = _best_sum(noise, step, spread_pct / 100, weeks)
    limit = np.quantile(score, 1 - false_a_year / WEEKS_A_YEAR)
    risen = rng.normal(0, spread_pct / 100, (50_000, 2 * weeks)) + np.r_[np.zeros(weeks), np.full(weeks, step)]
    scores = np.array([_best_sum(row, step, spread_pct / 100, weeks)[1:] for row in risen[:20_000]])
    return 100 * float((scores[:, -weeks:] > limit).any(axis=1).mean())


def straight_noted(suggested: tuple[float, ...], spread_pct: float, noted_pct: float, weeks: int = 2) -> float:
    """Share (%) of full weeks after a layoff noted in the first `weeks`, by limits that note `noted_pct` % of weeks as suggested."""
    limit = norm.isf(noted_pct / 100)
    missed = [norm.cdf(limit - np.log(1 / share) / (spread_pct / 100)) for share in suggested[:weeks]]
    return 100 * float(1 - np.prod(missed))


def _best_sum(values: np.ndarray, step: float, sd: float, weeks: int) -> np.ndarray:
    """Largest log likelihood ratio of a rise that began 1..weeks weeks ago."""
    each = (step * values - step**2 / 2) / sd**2
    sums = [np.convolve(each, np.ones(k), "full")[weeks - 1 : len(each)] for k in range(1, weeks + 1)]
    return np.max(sums, axis=0)
