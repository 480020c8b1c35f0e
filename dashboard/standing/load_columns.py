"""Columns about load that raise nothing: acute:chronic ratios, session-RPE load, monotony and strain, by week."""

from __future__ import annotations

import numpy as np
import pandas as pd

from dashboard.measures import acute_chronic, session_load
from dashboard.standing.log import numbered_sessions
from dashboard.standing.weekly import Weekly
from etl.settings import RULES, Rules

WEEK = 7
SAID = ("session_rpe", "minutes")


def load_columns(w: Weekly, rules: Rules = RULES) -> pd.DataFrame:
    """One row per week line. Of a running week only the session-RPE load so far."""
    n = w.log.weeks
    felt = rated_sessions(w.log.sets, w.log.day_efforts)
    felt = felt[felt["day"].between(w.log.mondays[0], w.log.mondays[-1] + WEEK - 1)]
    daily, known, unknown = _by_day(felt, int(w.log.mondays[0]), n)
    most = session_load.largest_monotony((daily > 0).sum(axis=1))
    even = session_load.monotony(np.where(unknown[:, None] > 0, np.nan, daily))
    table = pd.DataFrame({
        "line": np.arange(n), "acute_chronic_uncoupled": acute_chronic.uncoupled(w.whole, rules),
        "acute_chronic_coupled": acute_chronic.coupled(w.whole, rules), "acute_chronic_smoothed": _smoothed(w, rules),
        "session_rpe_load": np.where((known == 0) & (unknown > 0), np.nan, daily.sum(axis=1)), "sessions_with_load": known,
        "sessions_without_load": unknown, "monotony": even, "monotony_most": np.where(np.isinf(most) | np.isnan(even), np.nan, most),
        "strain": daily.sum(axis=1) * even})
    ended = ["acute_chronic_uncoupled", "acute_chronic_coupled", "acute_chronic_smoothed", "monotony", "monotony_most", "strain"]
    table.loc[w.log.complete :, ended] = np.nan
    return table


def rated_sessions(sets: pd.DataFrame, of_days: pd.DataFrame) -> pd.DataFrame:
    """One row per session: day, load (AU; NaN where its RPE or its minutes are missing, or are said in two ways).

    sets: day, session, session_rpe, minutes, one row per set. of_days: day, session_rpe, minutes, one row per row of the log
    without a set. The rows of a session have to agree on its one value. A row without a set speaks for the one session of its
    day; where the day has several, it cannot be told which it means, and it speaks for none; where the day has none, it is a
    session of its own, such as a run.
    """
    at, day = numbered_sessions(sets)
    _, most, least = _said(at, sets)
    other, other_most, other_least = _said(of_days["day"].to_numpy(int), of_days)
    days_with_sets, count = np.unique(day, return_counts=True)
    mine = np.flatnonzero(np.isin(day, np.intersect1d(days_with_sets[count == 1], other)))
    beside = np.searchsorted(other, day[mine])
    most[mine], least[mine] = np.fmax(most[mine], other_most[beside]), np.fmin(least[mine], other_least[beside])
    alone = ~np.isin(other, days_with_sets)
    most, least = np.concatenate([most, other_most[alone]]), np.concatenate([least, other_least[alone]])
    rpe, minutes = np.where(most == least, most, np.nan).T
    return pd.DataFrame({"day": np.concatenate([day, other[alone]]), "load": session_load.session_load(rpe, minutes)})


def _said(group: np.ndarray, rows: pd.DataFrame) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The groups in ascending order, and the largest and the least value of each of SAID that their rows say, (groups, 2) each."""
    order = np.argsort(group, kind="stable")
    there, first = np.unique(group[order], return_index=True)
    values = rows[list(SAID)].to_numpy(float)[order]
    if not len(there):
        return there, values, values
    return there, np.fmax.reduceat(values, first), np.fmin.reduceat(values, first)


def _by_day(felt: pd.DataFrame, first: int, weeks: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Load of each day (weeks, 7), and how many sessions of each week have one and have none."""
    at, known = felt["day"].to_numpy(int) - first, felt["load"].notna().to_numpy()
    daily = np.bincount(at[known], felt["load"].to_numpy()[known], weeks * WEEK).reshape(weeks, WEEK)
    line = at // WEEK
    return daily, np.bincount(line[known], minlength=weeks), np.bincount(line[~known], minlength=weeks)


def _smoothed(w: Weekly, rules: Rules) -> np.ndarray:
    """The ratio on each Sunday, from the first day with a hard set on."""
    at = w.log.sets["day"].to_numpy() - int(w.log.mondays[0])
    daily = np.bincount(at, w.log.sets["hard"].to_numpy(), w.log.weeks * WEEK)
    ratio = np.full(len(daily), np.nan)
    if daily.any():
        first = int(np.flatnonzero(daily)[0])
        ratio[first:] = acute_chronic.smoothed_ratio(daily[first:], rules)
    return ratio[WEEK - 1 :: WEEK]
