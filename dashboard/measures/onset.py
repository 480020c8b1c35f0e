"""When did it start? The week in which a rise ended or a fall began, with its uncertainty.

A line that bends once (a continuous broken line), y = level + after·t + fall·min(t − break, 0): the slope is after + fall
before the break and `after` from it on. Each series and repetition band has a level of its own; slopes and break are
shared; V is that of the trend (`gls.products`, scaled by `noise.scale_factor`). Each week of the history is tried as the break.

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

from dashboard.measures.gls import inverted, own_variance, products
from dashboard.measures.noise import outlier_factor, scale_factor
from dashboard.measures.numbering import is_first
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


class Dating(NamedTuple):
    """What is to be dated: the change that a plateau or a decline at a look began with.

    series: of one exercise, or of all that a part pools, each with its own `first_week` (one number); nothing after
    the look is used, nor anything older than `rules.onset_weeks`. look_week: the last day of the look's week.
    worthwhile_pct: smallest worthwhile gain, % a week, the unit that slopes are expected in.
    """

    series: Sequence[Series]
    look_week: float
    verdict: str = "plateau"
    worthwhile_pct: float = 0.25


class Together(NamedTuple):
    """The series of some datings end to end: series i is points start[i] to start[i + 1], (S + 1,), and of dating `owner[i]`.

    t_weeks, y, noise, band, readiness (N,): as in `window.Series`; breaks: of each dating, ascending.
    """

    start: np.ndarray
    owner: np.ndarray
    t_weeks: np.ndarray
    y: np.ndarray
    noise: np.ndarray
    band: np.ndarray
    readiness: np.ndarray
    breaks: Sequence[np.ndarray]

    @property
    def series(self) -> np.ndarray:
        """Of each point, (N,)."""
        return np.repeat(np.arange(len(self.owner)), np.diff(self.start))


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
    """One onset; see `Dating` for the arguments."""
    return onsets([Dating(series, look_week, verdict, worthwhile_pct)], rules)[0]


def onsets(datings: Sequence[Dating], rules: Rules = RULES) -> list[Onset]:
    """The onset of each dating; all of them are fitted together."""
    used = [[one for one in (_history(s, d.look_week, rules) for s in d.series) if len(one.t_weeks) >= LEAST_POINTS] for d in datings]
    breaks = [middles_of_weeks(own, d.look_week) for own, d in zip(used, datings, strict=True)]
    told = [i for i, own in enumerate(breaks) if len(own)]
    found = dict(zip(told, fitted(together([used[i] for i in told], [breaks[i] for i in told]), rules), strict=True))
    return [_summary(found[i], chances(found[i], *(d.worthwhile_pct * np.array(rules.onset_prior_worths[d.verdict])), rules.onset_none_chance), rules)
            if i in found else Onset(NONE, *[np.nan] * 6) for i, d in enumerate(datings)]


def middles_of_weeks(series: Sequence[Series], look_week: float) -> np.ndarray:
    """The middles of the weeks strictly between the first session and the last, ascending, (G,)."""
    times = np.concatenate([np.empty(0), *(one.t_weeks for one in series)])
    if not len(times):
        return times
    middle = look_week - 6 / 7 + 0.5
    breaks = middle - np.arange(int(max(middle - times.min(), 0)) + 1)[::-1]
    return breaks[(breaks > times.min()) & (breaks < times.max())]


def together(series: Sequence[Sequence[Series]], breaks: Sequence[np.ndarray], rules: Rules = RULES) -> Together:
    """The series of each dating, and its breaks, end to end."""
    every = [in_time_order(one, rules) for own in series for one in own]
    columns = (np.concatenate([np.empty(0), *(getattr(one, name) for one in every)]) for name in ("t_weeks", "y", "noise", "band", "readiness"))
    return Together(np.r_[0, np.cumsum([len(one.t_weeks) for one in every], dtype=int)], np.repeat(np.arange(len(series)), [len(own) for own in series]),
                    *columns, breaks)


def fitted(points: Together, rules: Rules = RULES) -> list[Profile]:
    """The profile of each dating, with V scaled to each series' residuals from the best broken line, far points counting for less."""
    if not len(points.owner):
        return []
    first, levels = profiles(points, np.ones(len(points.owner)), np.ones(len(points.t_weeks)), rules)
    off = residuals(points, first, levels)
    expected = np.maximum(points.noise, points.readiness)
    scale = _scales(points, off, expected, rules)
    total = own_variance(points.noise, points.readiness) + points.readiness**2
    return profiles(points, scale, outlier_factor(off, scale[points.series] * np.sqrt(total), rules), rules)[0]


def profiles(points: Together, scale: np.ndarray, factor: np.ndarray, rules: Rules = RULES) -> tuple[list[Profile], np.ndarray]:
    """The normal equations of the two slopes for each break of each dating; and of each series the levels of its two bands in y,
    in t and in the ramp of each break, (S, 2, 2 + breaks).

    scale (S,): on the noise of each series; factor (N,): on the variance of each point.
    """
    most = max(len(own) for own in points.breaks)
    # A break before all points has a ramp of nothing.
    breaks = np.array([np.r_[own, np.full(most - len(own), -np.inf)] for own in points.breaks])[points.owner[points.series]]
    columns = np.vstack([points.band == 0, points.band == 1, points.y, points.t_weeks, np.minimum(points.t_weeks - breaks.T, 0.0)])
    own = own_variance(points.noise, points.readiness)
    own = own + (own + points.readiness**2) * (factor - 1)
    gram = products(points.start, points.t_weeks, points.readiness, own, columns, rules.readiness_weeks).gram / scale[:, None, None] ** 2
    levels = inverted(gram[:, :2, :2]) @ gram[:, :2, 2:]
    ramps = np.einsum("sgg->sg", gram[:, 4:, 4:]) - np.einsum("sbg,sbg->sg", gram[:, :2, 4:], levels[:, :, 2:])
    first = np.flatnonzero(is_first(points.owner))
    with_y, with_t = (np.add.reduceat(gram[:, c, 2:] - np.einsum("sb,sbc->sc", gram[:, :2, c], levels), first) for c in (2, 3))
    ramps = np.add.reduceat(ramps, first)
    found = []
    for d, at in enumerate(points.breaks):
        own, same = slice(2, 2 + len(at)), np.ones(len(at))
        found.append(Profile(at, with_t[d, 1] * same, with_t[d, own], ramps[d, : len(at)], with_y[d, 1] * same, with_y[d, own]))
    return found, levels


def residuals(points: Together, found: Sequence[Profile], levels: np.ndarray) -> np.ndarray:
    """Of each dating's broken line that fits best, in % (N,). levels: see `profiles`."""
    at = np.array([int(np.argmax(one.gain())) for one in found])
    after, fall = np.array([[slope[i] for slope in one.slopes()] for one, i in zip(found, at, strict=True)]).T
    bend = np.array([one.breaks[i] for one, i in zip(found, at, strict=True)])
    of, series = points.owner, np.arange(len(points.owner))
    level = levels[:, :, 0] - after[of, None] * levels[:, :, 1] - fall[of, None] * levels[series, :, 2 + at[of]]
    mine = of[points.series]
    bent = after[mine] * points.t_weeks + fall[mine] * np.minimum(points.t_weeks - bend[mine], 0)
    return points.y - bent - level[points.series, points.band.astype(int)]


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


def _scales(points: Together, off: np.ndarray, expected: np.ndarray, rules: Rules) -> np.ndarray:
    """Of each series, (S,). A broken line takes three numbers beside the levels: two slopes and the break."""
    lengths = np.diff(points.start)
    there = np.arange(lengths.max()) < lengths[:, None]
    rest, sd = np.full(there.shape, np.nan), np.ones(there.shape)
    rest[there], sd[there] = off, expected
    bands = sum(np.add.reduceat(points.band == band, points.start[:-1]) > 0 for band in (0, 1))
    return scale_factor(rest, sd, 3 / np.bincount(points.owner)[points.owner] + bands, rules)


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
