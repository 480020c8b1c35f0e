"""Is it still going up? The trend of a strength series, looked at once a week.

y is 100 ln(value) (e1RM, e1RM per kg of body mass, repetitions at one load, seconds held), so a slope is % a
week. Each look fits one line by generalised least squares through its own window of sessions and says
progressing, plateau, declining, undecided or too_little_data. Rules and limits are decided here, by simulation;
`python -m tests.calibration` measures how often they are right, and the page Methods shows it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from dashboard.measures.bent_fit import fit_bent
from dashboard.measures.pooled import Pooled, days_with_points, first_enough, pooled, pooled_bent
from dashboard.measures.readiness import shared_readiness
from dashboard.measures.verdict import flat, verdicts
from dashboard.measures.window import Asked, Series, Stack, stacked
from dashboard.measures.window_fit import Fits, Ups, fit_looks, ups
from etl.refusal import Refusal
from etl.settings import RULES, Rules


class Judged(NamedTuple):
    """What looks say, (L,) each, in % a week: the 80 % interval of the slope, the gain that cannot be ruled out
    (upper end, one-sided 80 %), the verdict, and whether this look by itself rules out a gain worth having."""

    low: np.ndarray
    high: np.ndarray
    upper_80_one_sided: np.ndarray
    verdict: np.ndarray
    flat: np.ndarray


def judge(slope: np.ndarray, se: np.ndarray, enough: np.ndarray, worthwhile_pct: np.ndarray, begins: np.ndarray, rules: Rules = RULES) -> Judged:
    """Verdicts of looks, each series' in order of time; see `verdict.verdicts` for the arguments."""
    return Judged(
        slope - rules.z_interval * se, slope + rules.z_interval * se, slope + rules.z_plateau * se,
        verdicts(slope, se, enough, worthwhile_pct, rules, begins), flat(slope, se, enough, worthwhile_pct, rules))


def enough_data(
    sessions: np.ndarray, first: np.ndarray, last: np.ndarray, end: np.ndarray, weeks: np.ndarray | float, rules: Rules = RULES,
) -> np.ndarray:
    """Whether there are data enough for a verdict at `end`, of a level whose window is `weeks`: 8 sessions, the first and last
    60 % of the window apart, and the last no further back than the rest of it, also where the window itself is longer.
    """
    spanned = (sessions >= rules.trend_min_sessions) & (last - first >= rules.trend_min_span * weeks)
    return spanned & (end - last <= (1 - rules.trend_min_span) * weeks)


def own_window(scale: np.ndarray, level: str, rules: Rules = RULES) -> np.ndarray:
    """Weeks that each look sees, (L,): the level's window, or what `rules.noisy_windows` gives for a noise so many times the usual."""
    weeks = np.full(np.shape(scale), float(rules.window_weeks[level]))
    for above, longer in rules.noisy_windows[level]:
        weeks = np.where(scale > above, float(longer), weeks)
    return weeks


def pool(
    stack: Stack, asked: Asked, needed: np.ndarray, around: Ups, member: np.ndarray, group: np.ndarray, source: np.ndarray, shared: np.ndarray,
    own: Fits, target_se: np.ndarray, rules: Rules = RULES,
) -> Pooled:
    """Several series with one slope: since the latest bend that says enough, else over the own window.

    asked: looks at single series, each over its own window; needed (L,): the level's window, of which the data have to span
    enough; around: how each goes up and down; own: their fits, with `on_days`. member, group, source (M,), shared (G,): see `pooled.pooled`.
    target_se (G,): the SE that is small enough, % a week; −inf: the own window alone.
    """
    own_weeks, least, end = np.zeros(len(shared)), np.zeros(len(shared)), np.zeros(len(shared))
    np.maximum.at(own_weeks, group, asked.weeks[member])
    least[group], end[group] = needed[member], asked.end[member]

    def enough(sessions: np.ndarray, first: np.ndarray, last: np.ndarray) -> np.ndarray:
        return enough_data(sessions, first, last, end, least, rules)

    straight = pooled(own, around.scale, member, group, source, shared, own_weeks, enough, rules)
    several = np.isfinite(target_se)
    if not several.any():
        return straight
    # Only looks that some part with several exercises needs.
    rows = several[group]
    looked, of_rows = np.unique(member[rows], return_inverse=True)
    number = np.cumsum(several) - 1
    bents = fit_bent(stack, Asked(*(v[looked] for v in asked)), around.of(looked), rules.pool_bends, rules)
    of_rows, own_group = of_rows.ravel(), number[group[rows]]
    days = days_with_points(around.there[member[rows]], own_group, int(several.sum()))
    tried = [pooled_bent(bent, around.scale[looked], of_rows, own_group, source[rows], shared[several], weeks, _since_bend(weeks, end[several], least[several], rules),
                         days, rules)
             for weeks, bent in zip(rules.pool_bends, bents, strict=True)]
    chosen = first_enough([*tried, Pooled(*(values[several] for values in straight))], target_se[several])
    return Pooled(*(_put(values, several, new) for values, new in zip(straight, chosen, strict=True)))


def _since_bend(weeks: float, end: np.ndarray, least: np.ndarray, rules: Rules) -> Callable[[np.ndarray, np.ndarray, np.ndarray], np.ndarray]:
    """Whether there are data enough for a verdict, and history before a bend."""
    return lambda sessions, first, last: enough_data(sessions, first, last, end, least, rules) & (last - first >= weeks + rules.pool_before_weeks)


def _put(values: np.ndarray, where: np.ndarray, new: np.ndarray) -> np.ndarray:
    out = values.copy()
    out[where] = new
    return out


def looks(
    t_weeks: ArrayLike,
    y: ArrayLike,
    noise: ArrayLike,
    band: ArrayLike,
    look_weeks: ArrayLike,
    first_week: ArrayLike = -np.inf,
    rules: Rules = RULES,
    level: str = "intermediate",
    worthwhile_pct: ArrayLike | None = None,
    window_weeks: float | None = None,
) -> pd.DataFrame:
    """One row per look at one series.

    t_weeks, y, noise, band: (n,), see `window.Series`; any order; points without a number are left out.
    look_weeks: (L,) times of the looks, rising, one a week. first_week: earliest time that a look may use,
    (L,) or one number (a restart after a layoff). level: beginner, intermediate, advanced; it sets the
    smallest worthwhile gain (% a week) and the window (longer where the noise is large), unless worthwhile_pct ((L,) or one
    number) and window_weeks are given. Another name raises Refusal.

    Columns: look_week, sessions, span_weeks, slope (% a week), se, low and high (80 %, two-sided),
    upper_80_one_sided (the gain a week that cannot be ruled out), verdict, flat (this look alone rules out a gain
    worth having), scale (of the usual noise), level_now and level_se (units of y, at the look, for the latest band),
    offset and offset_se (upper repetition band minus lower), fit_from, fit_to (times of the
    first and last session used), fit_from_y, fit_to_y. nan where the points say nothing.
    """
    window, gain = _of_level(level, window_weeks, worthwhile_pct, look_weeks, rules)
    stack, asked = _asked([Series(t_weeks, y, noise, band)], look_weeks, first_week, window, rules)
    found = ups(stack, asked, rules)
    if window_weeks is None:
        asked = asked._replace(weeks=own_window(found.scale, level, rules))
    fits = fit_looks(stack, asked, found, rules)
    enough = enough_data(fits.sessions, fits.first, fits.last, asked.end, window, rules)
    return _frame(asked.end, fits, found.scale, judge(fits.slope, fits.slope_se, enough, gain, _begins(asked.end), rules))


def pooled_looks(
    series: Sequence[Series],
    look_weeks: ArrayLike,
    first_week: ArrayLike = -np.inf,
    rules: Rules = RULES,
    level: str = "intermediate",
    worthwhile_pct: ArrayLike | None = None,
    window_weeks: float | None = None,
) -> pd.DataFrame:
    """One row per look at several series with one slope: columns of `looks` without levels and offsets, and `weeks`.

    One series is looked at over its own window, as by itself. Several are told since a bend some weeks ago, where that says
    enough (`weeks` is then how many), else over their own windows; or over window_weeks, where it is given. sessions and the
    span are of the distinct days over the series that say something of the slope; scale is weighted like the slope; series is
    how many say something.
    """
    window, gain = _of_level(level, window_weeks, worthwhile_pct, look_weeks, rules)
    stack, asked = _asked(series, look_weeks, first_week, window, rules)
    count = np.asarray(look_weeks, float).size
    group = np.tile(np.arange(count), len(series))
    found = ups(stack, asked, rules)
    shared = shared_readiness(found.residuals, found.there, group, count, rules) if len(series) > 1 else np.zeros(count)
    needed = asked.weeks
    if window_weeks is None:
        asked = asked._replace(weeks=own_window(found.scale, level, rules))
    own = fit_looks(stack, asked, found, rules, weights=True)
    target = rules.pool_se_pct[level] if len(series) > 1 and window_weeks is None else -np.inf
    one = pool(stack, asked, needed, found, np.arange(len(group)), group, np.repeat(np.arange(len(series)), count), shared, own, np.full(count, target), rules)
    judged = judge(one.slope, one.slope_se, one.enough, gain, _begins(one.slope), rules)
    return pd.DataFrame({
        "look_week": np.asarray(look_weeks, float), "sessions": one.sessions, "span_weeks": one.last - one.first, "slope": one.slope,
        "se": one.slope_se, **judged._asdict(), "scale": one.scale, "series": one.exercises, "weeks": one.weeks, "fit_from": one.first,
        "fit_to": one.last})


def _of_level(level: str, window_weeks: float | None, worthwhile_pct: ArrayLike | None, look_weeks: ArrayLike, rules: Rules) -> tuple[float, np.ndarray]:
    """Window and smallest worthwhile gain of each look."""
    if level not in rules.window_weeks:
        raise Refusal(f"There is no level named {level}", "level", f"Choose one of {', '.join(rules.window_weeks)}.")
    gain = rules.worthwhile_pct[level] if worthwhile_pct is None else worthwhile_pct
    return rules.window_weeks[level] if window_weeks is None else window_weeks, np.broadcast_to(np.asarray(gain, float), np.shape(look_weeks))


def _asked(series: Sequence[Series], look_weeks: ArrayLike, first_week: ArrayLike, window: float, rules: Rules) -> tuple[Stack, Asked]:
    """All looks at all series, one series after another."""
    end = np.asarray(look_weeks, float)
    firsts = [np.broadcast_to(np.maximum(first_week, one.first_week), end.shape) for one in series]
    return stacked(series, rules, window), Asked(
        np.repeat(np.arange(len(series)), len(end)), np.tile(end, len(series)), np.concatenate([np.empty(0), *firsts]),
        np.full(len(series) * len(end), float(window)))


def _begins(looks_: np.ndarray) -> np.ndarray:
    """True at the first look of one series."""
    return np.arange(len(looks_)) == 0


def _frame(look: np.ndarray, fits: Fits, scale: np.ndarray, judged: Judged) -> pd.DataFrame:
    """The columns of `looks`."""
    return pd.DataFrame({
        "look_week": look, "sessions": fits.sessions, "span_weeks": fits.last - fits.first, "slope": fits.slope, "se": fits.slope_se,
        **judged._asdict(), "scale": scale, "level_now": fits.level, "level_se": fits.level_se, "offset": fits.offset,
        "offset_se": fits.offset_se, "fit_from": fits.first, "fit_to": fits.last, "fit_from_y": fits.level + fits.slope * (fits.first - look),
        "fit_to_y": fits.level + fits.slope * (fits.last - look)})
