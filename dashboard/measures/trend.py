"""Is it still going up? The trend of a strength series, looked at once a week.

y is 100 ln(value) (e1RM, e1RM per kg of body mass, repetitions at one load, seconds held), so a slope is % a
week. Each look fits one line by generalised least squares through its own window of sessions and says
progressing, plateau, declining, undecided or too_little_data. Rules and limits are decided here, by
simulation: at 2 sessions a week and 3.5 % noise, about 0.2 false plateaus per exercise and year at 0.5 % a
week; a stop is found within 8, 12, 16 and 20 weeks in 17, 50, 84 and 94 %.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from dashboard.measures.verdict import verdicts
from dashboard.measures.window import Series, in_time_order
from dashboard.measures.window_fit import LookFits, fit_looks, span
from etl.refusal import Refusal
from etl.settings import RULES, Rules


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
    smallest worthwhile gain (% a week) and the window, unless worthwhile_pct ((L,) or one number) and
    window_weeks are given. Another name raises Refusal.

    Columns: look_week, sessions, span_weeks, slope (% a week), se, low and high (80 %, two-sided),
    upper_80_one_sided (the gain a week that cannot be ruled out), verdict, scale (of the usual noise),
    level_now and level_se (units of y, at the look, for the latest band), fit_from, fit_to (times of the
    first and last session used), fit_from_y, fit_to_y. nan where the points say nothing.
    """
    return pooled_looks([Series(t_weeks, y, noise, band)], look_weeks, first_week, rules, level, worthwhile_pct, window_weeks)


def pooled_looks(
    series: Sequence[Series],
    look_weeks: ArrayLike,
    first_week: ArrayLike = -np.inf,
    rules: Rules = RULES,
    level: str = "intermediate",
    worthwhile_pct: ArrayLike | None = None,
    window_weeks: float | None = None,
) -> pd.DataFrame:
    """One row per look at several series with one slope: the columns of `looks`.

    Levels, noise and readiness are each series' own. Since series are then independent and share nothing but
    the slope, the GLS estimate through all points is the mean of the series' slopes weighted by 1/SE².
    sessions and the span are of the distinct times over the series that say something of the slope; scale is
    weighted like the slope. Levels (level_now, level_se, fit_from_y, fit_to_y) are nan with more than one
    series, whose levels have no common unit.
    """
    if level not in rules.window_weeks:
        raise Refusal(f"There is no level named {level}", "level", f"Choose one of {', '.join(rules.window_weeks)}.")
    look = np.asarray(look_weeks, dtype=float)
    window = rules.window_weeks[level] if window_weeks is None else window_weeks
    gain = rules.worthwhile_pct[level] if worthwhile_pct is None else worthwhile_pct
    fits = _pool(series, look, first_week, window, rules)
    return _frame(fits, look, window, np.broadcast_to(np.asarray(gain, dtype=float), look.shape), rules)


def _pool(series: Sequence[Series], look: np.ndarray, first_week: ArrayLike, window: float, rules: Rules) -> LookFits:
    """The fits of one series, or several with one slope."""
    ordered = [in_time_order(one) for one in series]
    firsts = [np.broadcast_to(np.maximum(first_week, one.first_week), look.shape) for one in ordered]
    fits = [fit_looks(one, look, first, window, rules) for one, first in zip(ordered, firsts, strict=True)]
    if len(fits) == 1:
        return fits[0]
    slope, se, scale = (np.array([getattr(f, name) for f in fits]).reshape(-1, len(look)) for name in ("slope", "slope_se", "scale"))
    says = np.isfinite(se)
    weight = np.where(says, 1 / np.where(says, se, 1.0) ** 2, 0.0)
    total = np.where(says.any(axis=0), weight.sum(axis=0), np.nan)
    counted = says | ~says.any(axis=0)
    times = [np.where(use[:, None], f.times, np.nan) for use, f in zip(counted, fits, strict=True)]
    return LookFits(
        slope=(weight * np.nan_to_num(slope)).sum(axis=0) / total,
        slope_se=total**-0.5,
        level=np.full(look.shape, np.nan),
        level_se=np.full(look.shape, np.nan),
        scale=(weight * scale).sum(axis=0) / total,
        times=np.concatenate([np.empty((len(look), 0)), *times], axis=1),
    )


def _frame(fits: LookFits, look: np.ndarray, window: float, gain: np.ndarray, rules: Rules) -> pd.DataFrame:
    """The columns of `looks`, from the fits."""
    sessions = _distinct(fits.times)
    first, last = span(fits.times)
    enough = (sessions >= rules.trend_min_sessions) & (last - first >= rules.trend_min_span * window)
    slope, se = fits.slope, fits.slope_se
    return pd.DataFrame(
        {
            "look_week": look,
            "sessions": sessions,
            "span_weeks": last - first,
            "slope": slope,
            "se": se,
            "low": slope - rules.z_interval * se,
            "high": slope + rules.z_interval * se,
            "upper_80_one_sided": slope + rules.z_plateau * se,
            "verdict": verdicts(slope, se, enough, gain, rules),
            "scale": fits.scale,
            "level_now": fits.level,
            "level_se": fits.level_se,
            "fit_from": first,
            "fit_to": last,
            "fit_from_y": fits.level + slope * (first - look),
            "fit_to_y": fits.level + slope * (last - look),
        }
    )


def _distinct(times: np.ndarray) -> np.ndarray:
    """How many different times each row has; nan is none."""
    ordered = np.sort(times, axis=1)
    return (np.diff(ordered, axis=1) > 0).sum(axis=1) + (~np.isnan(times)).any(axis=1)
