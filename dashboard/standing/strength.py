"""Strength week by week: each exercise's trend and verdict, and one verdict per part pooled from its exercises."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
import pandas as pd

from dashboard.measures.gaps import away, latest, layoffs, limits_days, restarts
from dashboard.measures.trend import looks, pooled_looks
from dashboard.measures.eligibility import worthwhile_reps_pct
from dashboard.measures.window import Series
from dashboard.sentences.strength import best_sentence, part_reason, reason
from dashboard.standing.bests import bests
from dashboard.standing.body import body, credits_of
from dashboard.standing.weekly import Weekly
from etl.settings import RULES, Rules

POOLED = ("e1rm", "per_kg")
NOW = ("value", "value_low", "value_high", "e1rm_kg", "low_kg", "high_kg", "best_value", "best_since", "idle_days", "last_day")
TREND = ("slope", "se", "low", "high", "upper_80_one_sided", "scale", "level_now", "level_se", "fit_from_y", "fit_to_y")


@dataclass(frozen=True)
class Strength:
    """points: the bests; exercises and parts: one row per week and exercise or part (see the kept tables)."""

    points: pd.DataFrame
    exercises: pd.DataFrame
    parts: pd.DataFrame


def strength(w: Weekly, since: int = 0, rules: Rules = RULES) -> Strength:
    """All looks from week line `since` on."""
    points = bests(w.log, rules)
    lines = (points["day"] - w.log.mondays[0]) // 7
    points = points.assign(line=lines, counted=points["counted"] & ~w.deload[lines])
    tables, pools = [], {}
    for exercise, own in points.groupby("exercise", sort=True):
        primes = prime_parts(exercise)
        # Every day on which it was done, also those whose sets say nothing of strength.
        days = np.unique(w.log.sets.loc[w.log.sets["exercise"] == exercise, "day"])
        when = _When(w, primes, days, since, rules)
        table, series = _exercise(w, exercise, own, when, rules)
        tables.append(table)
        for part in primes:
            if series is not None:
                pools.setdefault(part, []).append((exercise, series, when))
    parts = [_part(w, part, pool, since, rules) for part, pool in sorted(pools.items())]
    keep = [t for t in tables if not t.empty]
    return Strength(points, pd.concat(keep, ignore_index=True) if keep else pd.DataFrame(),
                    pd.concat(parts, ignore_index=True) if parts else pd.DataFrame())


@cache
def prime_parts(exercise: str) -> list[int]:
    """Positions of the parts whose prime mover the exercise is: credit 1 for one of their heads."""
    base = credits_of([(exercise, "")]).base[0]
    return [p for p, heads in enumerate(body().part_heads) if heads and base[heads].max() >= 1]


class _When:
    """When one exercise is looked at: its looks, from where each may use points, and which weeks are held."""

    def __init__(self, w: Weekly, primes: list[int], days: np.ndarray, since: int, rules: Rules) -> None:
        mondays = w.log.mondays
        part_days = np.unique(np.concatenate([w.part_days[p] for p in primes])) if primes else w.body_days
        self.first_line = int((days[0] - mondays[0]) // 7)
        self.ends = mondays + 6
        self.held = away(self.ends, part_days, rules)
        # A held week repeats the look of the last week that was not held.
        self.look_line = np.maximum.accumulate(np.where(self.held, -1, np.arange(len(mondays))))
        self.lines = np.arange(max(since, self.first_line), len(mondays))
        gaps = layoffs(part_days, int(self.ends[-1]), rules)
        self.restart = np.maximum(restarts(gaps, self.ends, rules), _dropped(days, part_days, self.ends, rules))

    def weeks_of(self, day: np.ndarray | float) -> np.ndarray:
        return (np.asarray(day, float) - self.ends[0]) / 7

    @property
    def looked(self) -> np.ndarray:
        """The lines to look at, one a week, with the one before the first (a plateau needs two looks)."""
        used = self.look_line[self.lines]
        first = max(int(used[used >= 0].min(initial=self.lines[0])) - 1, 0)
        return np.arange(first, self.lines[-1] + 1)


def _dropped(days: np.ndarray, part_days: np.ndarray, ends: np.ndarray, rules: Rules) -> np.ndarray:
    """An exercise that was dropped while its part was trained restarts, and passes over its first session back."""
    long = np.flatnonzero(np.diff(days) > limits_days(days, rules)[:-1])
    trained = [i for i in long if np.any((part_days > days[i]) & (part_days < days[i + 1]))]
    back = days[np.array(trained, int) + 1].astype(float)
    return latest(back, back + 1, ends)


def _exercise(w: Weekly, exercise: str, own: pd.DataFrame, when: _When, rules: Rules) -> tuple[pd.DataFrame, Series | None]:
    """Rows of one exercise, and its series of estimates for pooling (None where it has none)."""
    if not len(when.lines):
        return pd.DataFrame(), None
    pool, fits, open_lines = None, [], np.ones(len(when.ends), bool)
    for (measure, label), series in own[own["measure"] != "reps"].groupby(["measure", "series"], sort=False):
        shape = _series(series[series["counted"]], when)
        pool = shape if measure in POOLED and len(shape.t_weeks) else pool
        fits.append(_fit(w, measure, label, series, shape, when, rules))
        # An estimate or a hold with enough sessions goes before repetitions at the load now used.
        open_lines[fits[-1].loc[fits[-1]["sessions"] >= rules.trend_min_sessions, "line"]] = False
    current = _current_load(own, when)
    reps = own[own["measure"] == "reps"]
    for label in dict.fromkeys(current[when.lines][open_lines[when.lines]]):
        series = reps[reps["series"] == label]
        if len(series):
            fit = _fit(w, "reps", label, series, _series(series[series["counted"]], when), when, rules)
            fits.append(fit[open_lines[fit["line"]] & (current[fit["line"]] == label)])
    every = pd.concat(fits, ignore_index=True)
    # Otherwise the most sessions, an estimate before repetitions; each look chooses from what was known at it.
    every["rank"] = every["sessions"] + np.where(every["measure"] != "reps", 0.5, 0)
    table = every.sort_values(["line", "rank"], kind="stable").drop_duplicates("line", keep="last")
    table = table.assign(reason=[reason(row, w.log.level, rules) + best_sentence(row, rules) for row in table.itertuples()])
    return table.assign(exercise=exercise).drop(columns="rank"), pool


def _current_load(own: pd.DataFrame, when: _When) -> np.ndarray:
    """The label of the repetitions series that the latest session before each week's end belongs to, its heaviest, (weeks,)."""
    reps = own[own["measure"] == "reps"].sort_values(["day", "load_kg"], kind="stable").drop_duplicates("day", keep="last")
    at = np.searchsorted(reps["day"].to_numpy(), when.ends, side="right")
    return np.r_[[""], reps["series"].to_numpy(object)].astype(object)[at]


def _series(used: pd.DataFrame, when: _When) -> Series:
    return Series(when.weeks_of(used["day"]), 100 * np.log(used["value"].to_numpy(float)), used["noise"].to_numpy(float), used["band"].to_numpy(int))


def _fit(w: Weekly, measure: str, label: str, series: pd.DataFrame, shape: Series, when: _When, rules: Rules) -> pd.DataFrame:
    """One row per week of one series: its look, the value now with its interval, and the best so far."""
    lines, asked = when.lines, when.looked
    at = np.maximum(when.look_line[lines], asked[0]) - asked[0]
    rows = _look(shape, measure, series, when, asked, w.log.level, rules).iloc[at].reset_index(drop=True)
    rows = rows.assign(line=lines, held=when.held[lines])
    table = pd.concat([rows, _now(rows, series, when.ends[lines], rules)], axis=1).assign(measure=measure, series=label)
    table["fit_from_value"], table["fit_to_value"] = np.exp(rows["fit_from_y"] / 100), np.exp(rows["fit_to_y"] / 100)
    for name in ("fit_from", "fit_to"):
        table[name + "_day"] = np.round(rows[name] * 7 + when.ends[0])
    return table[table["best_value"].notna()]


def _look(shape: Series, measure: str, series: pd.DataFrame, when: _When, asked: np.ndarray, level: str, rules: Rules) -> pd.DataFrame:
    """The looks at a series. With too little data there is no trend: its numbers are NaN."""
    weeks, first = when.weeks_of(when.ends[asked]), when.weeks_of(when.restart[asked])
    t = np.asarray(shape.t_weeks)
    if len(t) < rules.trend_min_sessions:
        return _few(t, weeks, first, rules.window_weeks[level])
    found = looks(*shape[:4], weeks, first, rules, level, _worthwhile(measure, series, when.ends[asked], rules))
    return _silenced(found)


def _few(t: np.ndarray, weeks: np.ndarray, first: np.ndarray, window: float) -> pd.DataFrame:
    """The looks at a series that is too short for any verdict: how many sessions each has, and over how many weeks."""
    used = np.where((t[None, :] <= weeks[:, None]) & (t[None, :] > (weeks - window)[:, None]) & (t[None, :] >= first[:, None]), t[None, :], np.nan)
    sessions = (~np.isnan(used)).sum(axis=1)
    top, bottom = np.nan_to_num(used, nan=-np.inf).max(axis=1, initial=-np.inf), np.nan_to_num(used, nan=np.inf).min(axis=1, initial=np.inf)
    empty = dict.fromkeys((*TREND, "fit_from", "fit_to"), np.nan)
    with np.errstate(invalid="ignore"):
        return pd.DataFrame({"look_week": weeks, "sessions": sessions, "span_weeks": np.where(sessions > 0, top - bottom, np.nan),
                             "verdict": "too_little_data", **empty})


def _silenced(found: pd.DataFrame) -> pd.DataFrame:
    """No slope, level or line where there is too little data for a verdict."""
    columns = [*TREND, "fit_from", "fit_to"]
    found[columns] = found[columns].where(found["verdict"] != "too_little_data", np.nan)
    return found


def _worthwhile(measure: str, series: pd.DataFrame, ends: np.ndarray, rules: Rules) -> np.ndarray | None:
    if measure != "reps":
        return None
    day, value = series["day"].to_numpy(), series["value"].to_numpy(float)
    last = np.maximum(np.searchsorted(day, ends, side="right") - 1, 0)
    return worthwhile_reps_pct(value[last], rules)


def _now(rows: pd.DataFrame, series: pd.DataFrame, ends: np.ndarray, rules: Rules) -> pd.DataFrame:
    """Value at each look with its 80 % interval, of the line where there is a verdict, else of the last best set; in kg
    of the load too; and the best so far with its day. NaN before the first session.

    Value and best are of the points that count in a trend, as far as there are any by then, else of the faint ones.
    """
    counted = _values(rows, series[series["counted"]], ends, rules)
    return counted.fillna(_values(rows, series, ends, rules))


def _values(rows: pd.DataFrame, series: pd.DataFrame, ends: np.ndarray, rules: Rules) -> pd.DataFrame:
    if series.empty:
        return pd.DataFrame(np.nan, index=range(len(ends)), columns=NOW)
    day, values, noise, mass = (series[name].to_numpy(float) for name in ("day", "value", "noise", "body_mass"))
    at = np.searchsorted(day, ends, side="right") - 1
    last = np.maximum(at, 0)
    fitted = (rows["verdict"] != "too_little_data") & np.isfinite(rows["level_now"])
    # The line's value at the last session: nothing is said of strength after it.
    middle = np.where(fitted, np.exp(rows["fit_to_y"] / 100), values[last])
    spread = np.exp(rules.z_interval * np.where(fitted, rows["level_se"], noise[last]) / 100)
    kg = {"e1rm": 1.0, "per_kg": mass[last]}.get(series["measure"].iloc[0], np.nan)
    best = np.maximum.accumulate(values)
    first = np.searchsorted(best, best[last], side="left")
    table = pd.DataFrame(dict(zip(NOW, (
        middle, middle / spread, middle * spread, middle * kg, middle / spread * kg, middle * spread * kg, best[last], day[first],
        ends - day[last], day[last]), strict=True)))
    return table.where(pd.Series(at >= 0), np.nan)


def _part(w: Weekly, part: int, pool: list[tuple[str, Series, _When]], since: int, rules: Rules) -> pd.DataFrame:
    """One row per week of one part, pooled over the exercises whose prime mover it is."""
    first = min(when.first_line for *_, when in pool)
    lines = np.arange(max(since, first), w.log.weeks)
    if not len(lines):
        return pd.DataFrame()
    ends = w.log.mondays + 6
    held = away(ends, w.part_days[part], rules)
    look_line = np.maximum.accumulate(np.where(held, -1, np.arange(len(ends))))
    asked = np.arange(max(0, int(look_line[lines].min(initial=lines[0])) - 1), w.log.weeks)
    weeks = (ends[asked] - ends[0]) / 7
    series = [s._replace(first_week=when.weeks_of(when.restart[asked])) for _, s, when in pool]
    found = _silenced(pooled_looks(series, weeks, -np.inf, rules, w.log.level))
    at = np.maximum(look_line[lines], asked[0]) - asked[0]
    table = found.iloc[at].reset_index(drop=True).assign(line=lines, held=held[lines], part=body().parts["part_id"][part])
    table["exercises"] = [sum(_in_window(s, end, w.log.level, rules) for s in series) for end in weeks[at]]
    table["reason"] = [part_reason(row, w.log.level, rules) for row in table.itertuples()]
    return table


def _in_window(series: Series, end: float, level: str, rules: Rules) -> bool:
    t = np.asarray(series.t_weeks)
    return bool(np.any((t > end - rules.window_weeks[level]) & (t <= end)))
