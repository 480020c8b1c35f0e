"""When did it start? The week in which a rise ended or a fall began, with its uncertainty.

A line that bends once (a continuous broken line), y = level + after·t + fall·min(t − break, 0): the slope is after + fall
before the break and `after` from it on. Each series and repetition band has a level of its own; slopes and break are
shared; V is that of the trend (`covariance.covariance`, scaled by `noise.scale_factor`). Each week of the history is tried as the break.

The interval is Bayesian, since the likelihood is not regular where a break is near the edge of the data or the bend is
slight: with the usual χ² limit an "80 %" interval held the truth in 59 to 76 % of simulated plateaus. Prior: each week
alike, a chance that the change lies before the data, normal slopes about what the verdict says, a fall only downward. The mass
(`onset_mass`) is set so that the weeks named hold the truth in 80 % or more (tests/test_onset.py). It dates a
verdict that was reached elsewhere and decides none.

Broken lines by likelihood: Hinkley DV. Inference in two-phase regression. J Am Stat Assoc 1971;66:736-743,
doi:10.1080/01621459.1971.10482337 (from memory). The prior and the mass are decided here, by simulation.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import erf, log, sqrt
from typing import NamedTuple

import numpy as np

from dashboard.measures.covariance import covariance
from dashboard.measures.noise import outlier_factor, scale_factor
from dashboard.measures.window import Series, in_time_order
from etl.settings import RULES, Rules

DATED, OPEN, NONE = "dated", "open", "none"
LEAST_POINTS = 3  # of a series: two levels and a slope say nothing of a bend
NOTHING = 1e-9  # information below it is rounding


class Onset(NamedTuple):
    """week, low, high: middles of weeks, in the unit of t_weeks; before and after: slopes there, % a week.

    state: dated; open, where the interval runs to the beginning of the data (only `high` is a number: before it); none, where the data do not
    tell it from one straight line (all nan). no_change: the probability that no change lies within the data.
    """

    state: str
    week: float
    low: float
    high: float
    before: float
    after: float
    no_change: float


class Whitened(NamedTuple):
    """All series as one, with V = LL' divided out: t as it is; L⁻¹y, L⁻¹(columns of levels), L⁻¹, L; the levels' columns."""

    t: np.ndarray
    y: np.ndarray
    levels: np.ndarray
    inverse: np.ndarray
    factor: np.ndarray
    columns: np.ndarray


class Profile(NamedTuple):
    """What the data say of the two slopes for each break (G,), levels taken out: X'V⁻¹X and X'V⁻¹y of (after, fall)."""

    breaks: np.ndarray
    after_after: np.ndarray
    after_fall: np.ndarray
    fall_fall: np.ndarray
    after_y: np.ndarray
    fall_y: np.ndarray

    def slopes(self) -> tuple[np.ndarray, np.ndarray]:
        """GLS estimates of `after` and `fall`; without a bend to see, the straight line."""
        own = self.fall_fall - self.after_fall**2 / self.after_after
        rest = self.fall_y - self.after_fall * self.after_y / self.after_after
        fall = np.divide(rest, own, out=np.zeros(len(own)), where=own > NOTHING)
        return (self.after_y - self.after_fall * fall) / self.after_after, fall

    def gain(self) -> np.ndarray:
        """By how much both slopes lower the weighted sum of squares of levels alone (χ² units)."""
        after, fall = self.slopes()
        return after * self.after_y + fall * self.fall_y


def onset(series: Sequence[Series], look_week: float, verdict: str = "plateau", worthwhile_pct: float = 0.25,
          rules: Rules = RULES) -> Onset:
    """Date the change that a plateau or a decline at this look began with.

    series: of one exercise, or of all that a part pools, each with its own `first_week` (one number); nothing after
    the look is used, nor anything older than `rules.onset_weeks`. look_week: the last day of the look's week.
    worthwhile_pct: smallest worthwhile gain, % a week, the unit that slopes are expected in.
    """
    used = [one for one in (_history(s, look_week, rules) for s in series) if len(one.t_weeks) >= LEAST_POINTS]
    breaks = middles_of_weeks(used, look_week)
    if not len(breaks):
        return Onset(NONE, *[np.nan] * 6)
    found = fitted(used, breaks, rules)
    chance = chances(found, *(worthwhile_pct * np.array(rules.onset_prior_worths[verdict])), rules.onset_none_chance)
    return _summary(found, chance, rules)


def middles_of_weeks(series: Sequence[Series], look_week: float) -> np.ndarray:
    """The middles of the weeks strictly between the first session and the last, ascending, (G,)."""
    times = np.concatenate([np.empty(0), *(one.t_weeks for one in series)])
    if not len(times):
        return times
    middle = look_week - 6 / 7 + 0.5
    breaks = middle - np.arange(int(max(middle - times.min(), 0)) + 1)[::-1]
    return breaks[(breaks > times.min()) & (breaks < times.max())]


def fitted(series: Sequence[Series], breaks: np.ndarray, rules: Rules = RULES) -> Profile:
    """The profile with V scaled to each series' residuals from the best broken line, far points counting for less."""
    white = whiten(series, [1.0] * len(series), rules)
    rest = residuals(white, profile(white, breaks))
    return profile(whiten(series, _scales(series, rest, rules), rules, rest), breaks)


def whiten(series: Sequence[Series], scales: Sequence[float], rules: Rules = RULES, rest: np.ndarray | None = None) -> Whitened:
    """Series with their V divided out, series independent. rest: residuals of a first fit, all series in turn, %."""
    series = [in_time_order(one, rules) for one in series]
    t, y = (np.concatenate([getattr(one, name) for one in series]) for name in ("t_weeks", "y"))
    factor, inverse, columns, start = np.zeros((len(t), len(t))), np.zeros((len(t), len(t))), [], 0
    for one, scale in zip(series, scales, strict=True):
        here = slice(start, start + len(one.t_weeks))
        v = covariance(one.t_weeks, one.noise, one.readiness, rules.readiness_weeks) * scale**2
        if rest is not None:
            own = v.diagonal()
            v = v + np.diag(own * (outlier_factor(rest[here], np.sqrt(own), rules) - 1))
        factor[here, here] = np.linalg.cholesky(v)
        inverse[here, here] = np.linalg.inv(factor[here, here])
        for band in np.unique(one.band):
            column = np.zeros(len(t))
            column[here] = one.band == band
            columns.append(column)
        start = here.stop
    levels = np.column_stack(columns)
    return Whitened(t, inverse @ y, inverse @ levels, inverse, factor, levels)


def profile(white: Whitened, breaks: np.ndarray) -> Profile:
    """The normal equations of the two slopes for each break, (G,)."""
    basis = np.linalg.qr(white.levels)[0]
    ramps = white.inverse @ np.minimum(white.t[:, None] - breaks, 0.0)
    line, y, ramps = (part - basis @ (basis.T @ part) for part in (white.inverse @ white.t, white.y, ramps))
    same = np.ones(len(breaks))
    return Profile(breaks, line @ line * same, line @ ramps, np.einsum("ig,ig->g", ramps, ramps), line @ y * same, y @ ramps)


def chances(found: Profile, after: float, after_sd: float, fall: float, fall_sd: float, none: float) -> np.ndarray:
    """Probability of each break, and last that no change lies within the data, (G + 1,); slopes are integrated out.

    Prior: `none` for no change, the rest shared by the weeks; slope after N(after, after_sd²); fall N(fall, fall_sd²) above 0.
    """
    own, other, both = found.after_after + after_sd**-2, found.fall_fall + fall_sd**-2, found.after_fall
    own_y, other_y = found.after_y + after / after_sd**2, found.fall_y + fall / fall_sd**2
    det = own * other - both**2
    fall_mean, fall_now_sd = (own * other_y - both * own_y) / det, np.sqrt(own / det)
    downward = np.array([1 + erf(z / sqrt(2)) for z in fall_mean / fall_now_sd]) / (1 + erf(fall / fall_sd / sqrt(2)))
    square = (other * own_y**2 - 2 * both * own_y * other_y + own * other_y**2) / det
    bent = (0.5 * (square - (fall / fall_sd) ** 2) - 0.5 * np.log(det) - log(fall_sd) + np.log(np.maximum(downward, 1e-300)))
    straight = 0.5 * own_y[0] ** 2 / own[0] - 0.5 * log(own[0])
    top = max(bent.max(), straight)
    weights = np.r_[(1 - none) / len(bent) * np.exp(bent - top), none * np.exp(straight - top)]
    return weights / weights.sum()


def residuals(white: Whitened, found: Profile) -> np.ndarray:
    """Of the broken line that fits best, in % (n,)."""
    at = int(np.argmax(found.gain()))
    after, fall = (slope[at] for slope in found.slopes())
    bent = after * white.t + fall * np.minimum(white.t - found.breaks[at], 0)
    left = white.y - white.inverse @ bent
    level = np.linalg.lstsq(white.levels, left, rcond=None)[0]
    return white.factor @ (left - white.levels @ level)


def _scales(series: Sequence[Series], rest: np.ndarray, rules: Rules) -> list[float]:
    """Of each series. A broken line takes three numbers beside the levels: two slopes and the break."""
    ends = np.cumsum([len(one.t_weeks) for one in series])
    return [float(scale_factor(rest[None, end - len(one.t_weeks) : end], np.maximum(one.noise, one.readiness)[None],
                               np.array([3 / len(series) + len(np.unique(one.band))]), rules)[0])
            for one, end in zip(series, ends, strict=True)]


def _summary(found: Profile, chance: np.ndarray, rules: Rules) -> Onset:
    none = float(chance[-1])
    # A change that is not within the data lies before them.
    upto = none + np.cumsum(chance[:-1])
    tail = (1 - rules.onset_mass) / 2
    low, week, high = (_reached(found.breaks, upto, none, share) for share in (tail, 0.5, 1 - tail))
    if np.isnan(week):
        return Onset(NONE, *[np.nan] * 5, none)
    if np.isnan(low) or low == found.breaks[0]:
        return Onset(OPEN, np.nan, np.nan, high, np.nan, np.nan, none)
    after, fall = (slope[found.breaks == week][0] for slope in found.slopes())
    return Onset(DATED, week, low, high, after + fall, after, none)


def _reached(breaks: np.ndarray, upto: np.ndarray, none: float, share: float) -> float:
    """The first break up to which the probability is `share`; nan where it is so before the data."""
    return np.nan if none >= share else float(breaks[min(int(np.searchsorted(upto, share)), len(breaks) - 1)])


def _history(series: Series, look_week: float, rules: Rules) -> Series:
    one = in_time_order(series, rules)
    use = (one.t_weeks <= look_week) & (one.t_weeks >= max(float(one.first_week), look_week - rules.onset_weeks))
    return Series(one.t_weeks[use], one.y[use], one.noise[use], one.band[use], readiness=one.readiness[use])
