"""Verdicts, rates and bests of every simulated series as arrays, from the kept tables."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pandas as pd
from scipy.stats import norm

from tests.calibration.counting import given
from tests.calibration.program import ask

EXERCISES = "select athlete, exercise as subject, week, verdict, rate_pct_week, rate_low, rate_high, fit_from as begins from kept_strength"
PARTS = """select athlete, part as subject, week, verdict, rate_pct_week, rate_low, rate_high, week + 7 - cast(7 * window_weeks as integer) as begins
from kept_part_strength where exercises > 1"""

INTERVAL, DECLINING = norm.ppf(0.90), norm.ppf(0.95)  # 80 % two-sided, 95 % one-sided


@dataclass(frozen=True)
class Verdicts:
    """athlete, subject: (series,). verdict, rate, low, high: (series, weeks), '' and NaN where there is no row. begins: the time
    (weeks) at which the stretch that the rate is of begins."""

    athlete: np.ndarray
    subject: np.ndarray
    verdict: np.ndarray
    rate: np.ndarray
    low: np.ndarray
    high: np.ndarray
    begins: np.ndarray

    @property
    def given(self) -> np.ndarray:
        return given(self.verdict)


def verdicts(store: Path, weeks: int, sql: str = EXERCISES, measure: str | None = None) -> Verdicts:
    """measure: only rows of this measure hold; the rest are as if there were none."""
    rows = ask(store, sql if measure is None else f"{sql} where measure = '{measure}'")
    keys, at = np.unique(rows["athlete"] + "|" + rows["subject"], return_inverse=True)
    week = rows["week"].to_numpy(int)

    def wide(column: str, empty: object, kind: type) -> np.ndarray:
        out = np.full((len(keys), weeks), empty, kind)
        out[at, week] = rows[column]
        return out

    athlete, subject = (np.array(x) for x in zip(*(key.split("|") for key in keys), strict=True))
    return Verdicts(athlete, subject, wide("verdict", "", object), *(wide(c, np.nan, float) for c in ("rate_pct_week", "rate_low", "rate_high", "begins")))


def called_at(of: Verdicts, z: float, gain: float) -> Verdicts:
    """The verdicts of the same rates where a plateau rules out `gain` (% a week) by another number of standard errors than the
    program's."""
    se = (of.high - of.low) / (2 * INTERVAL)
    with np.errstate(invalid="ignore"):
        flat = of.given & (of.rate + z * se < gain)
        moving = [of.rate + DECLINING * se < 0, of.low > 0]
    twice = flat & np.concatenate([np.zeros((len(flat), 1), bool), flat[:, :-1]], axis=1)
    words = np.select([~of.given, *moving, twice], [of.verdict, "declining", "progressing", "plateau"], "undecided")
    return replace(of, verdict=words.astype(object))


def bests(store: Path, measure: str = "e1rm") -> pd.DataFrame:
    """athlete, exercise, date (days), value: of what counts in a trend, in order of time."""
    return ask(store, f"select athlete, exercise, series, date, value, reps, rir from kept_bests where measure = '{measure}' and counted order by all")


def no_new_best(store: Path, of: Verdicts, days: int = 28) -> np.ndarray:
    """The rule that the program is held against, on the same series: whether the best of all so far is more than four weeks
    old, (series, weeks)."""
    points = {key: (g["date"].to_numpy(), np.maximum.accumulate(g["value"].to_numpy())) for key, g in bests(store).groupby(["athlete", "exercise"])}
    out = np.zeros(of.verdict.shape, bool)
    ends = 7 * np.arange(of.verdict.shape[1]) + 6
    for i, key in enumerate(zip(of.athlete, of.subject, strict=True)):
        if key not in points:
            continue
        day, best = points[key]
        since = day[np.searchsorted(best, best, side="left")]
        at = np.searchsorted(day, ends, side="right") - 1
        out[i] = (at >= 0) & (ends - since[np.maximum(at, 0)] > days)
    return out
