"""Strength week by week: each exercise's trend and verdict, and one verdict per part pooled from its exercises.

All series of all logs are looked at together; which looks each week needs is decided before (`when.py`), and what they
say is put into rows after.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from dashboard.measures.eligibility import worthwhile_reps_pct
from dashboard.measures.trend import enough_data, judge
from dashboard.measures.verdict import TOO_LITTLE
from dashboard.sentences.strength import exercise_reasons
from dashboard.standing.bests import bests
from dashboard.standing.body import prime_parts
from dashboard.standing.part_strength import part_rows
from dashboard.standing.series import DAYS, ESTIMATES, AllSeries, Looks, look
from dashboard.standing.weekly import Weekly
from dashboard.standing.when import When, exercises_of, first_looks, part_of
from etl.settings import RULES, Rules

Pools = dict[tuple[int, int], list[int]]


@dataclass(frozen=True)
class Strength:
    """points: the bests; exercises and parts: one row per week and exercise or part (see the kept tables)."""

    points: pd.DataFrame
    exercises: pd.DataFrame
    parts: pd.DataFrame


def strength(all_weeks: Sequence[Weekly], since: Sequence[int], rules: Rules = RULES) -> list[Strength]:
    """Of each log what all looks from its week line `since` on say."""
    if not all_weeks:
        return []
    points, owner = _points(all_weeks, rules)
    series = AllSeries(points, owner)
    done = {(i, name): when for i, w in enumerate(all_weeks) for name, when in exercises_of(w, since[i], rules).items()}
    pools = _pools(series, done)
    parts = {key: part_of(all_weeks[key[0]], key[1], min(int(done[series.names[n][:2]].lines[0]) for n in numbers), rules) for key, numbers in pools.items()}
    first = [first_looks([when for (owner_, _), when in [*done.items(), *parts.items()] if owner_ == i]) for i in range(len(all_weeks))]
    looked = _Looked(all_weeks, series, done, first, rules)
    exercises = looked.exercises()
    pooled = part_rows(all_weeks, series, looked.estimates, pools, parts, first, rules)
    cuts = np.searchsorted(owner, np.arange(len(all_weeks) + 1))
    return [Strength(points.iloc[cuts[i] : cuts[i + 1]].reset_index(drop=True), _own(exercises, i), _own(pooled, i)) for i in range(len(all_weeks))]


def _points(all_weeks: Sequence[Weekly], rules: Rules) -> tuple[pd.DataFrame, np.ndarray]:
    """The bests of all logs, in the logs' order, without those of a deload in any trend; and the place of each one's log."""
    points = bests([w.log for w in all_weeks], rules)
    owner = points["athlete"].map({w.log.athlete: i for i, w in enumerate(all_weeks)}).to_numpy(int)
    order = np.argsort(owner, kind="stable")
    points, owner = points.iloc[order].reset_index(drop=True), owner[order]
    deload = np.concatenate([w.deload for w in all_weeks])
    offset = np.cumsum([0, *(w.log.weeks for w in all_weeks)])
    return points.assign(counted=points["counted"].to_numpy(bool) & ~deload[offset[owner] + points["line"].to_numpy()]), owner


def _pools(series: AllSeries, done: dict[tuple[int, str], When]) -> Pools:
    """Log and part -> the series of estimates of the exercises whose prime mover it is."""
    found: Pools = {}
    for i, name in enumerate(series.names):
        if name.measure in ESTIMATES and name[:2] in done and series.counts(i):
            for part in prime_parts(name.exercise):
                found.setdefault((name.owner, part), []).append(i)
    return dict(sorted(found.items()))


def _own(table: pd.DataFrame, owner: int) -> pd.DataFrame:
    return table[table["owner"] == owner].drop(columns="owner").reset_index(drop=True) if len(table) else pd.DataFrame()


class _Looked:
    """The rows of exercises, from looks at their series."""

    def __init__(self, all_weeks: Sequence[Weekly], series: AllSeries, done: dict[tuple[int, str], When], first: Sequence[int], rules: Rules) -> None:
        self.all_weeks, self.series, self.done, self.first, self.rules = all_weeks, series, done, first, rules
        self.estimates = self._look([i for i, name in enumerate(series.names) if name.measure != "reps" and name[:2] in done], weights=True)

    def _look(self, numbers: Sequence[int], weights: bool = False) -> Looks:
        names, rules = [self.series.names[n] for n in numbers], self.rules
        weeks = [self.all_weeks[name.owner] for name in names]
        first = [self.first[name.owner] for name in names]
        return look(self.series, numbers, [w.log.mondays[a:] + 6 for w, a in zip(weeks, first, strict=True)],
                    [self.done[name[:2]].restart[a:] for name, a in zip(names, first, strict=True)], first,
                    [w.log.level for w in weeks], rules, weights)

    def exercises(self) -> pd.DataFrame:
        """One row per week and exercise, of the series that says most at it."""
        estimates = self._rows(self.estimates)
        found = [t for t in (estimates, self._repetitions(estimates)) if len(t)]
        if not found:
            return pd.DataFrame()
        every = pd.concat(found, ignore_index=True)
        # The most sessions, an estimate before repetitions; each look chooses from what was known at it.
        rank = every["sessions"] + np.where(every["measure"] != "reps", 0.5, 0)
        table = every.assign(rank=rank).sort_values(["owner", "exercise", "line", "rank"], kind="stable")
        table = table.drop_duplicates(["owner", "exercise", "line"], keep="last", ignore_index=True)
        level = np.array([w.log.level for w in self.all_weeks], object)[table["owner"]]
        return table.assign(reason=exercise_reasons(table, level, self.rules)).drop(columns=["rank", "number"])

    def _repetitions(self, estimates: pd.DataFrame) -> pd.DataFrame:
        """Rows of the repetitions at the load now used, where no estimate or hold has enough sessions."""
        settled = estimates[estimates["sessions"] >= self.rules.trend_min_sessions] if len(estimates) else estimates
        settled = set(zip(settled["owner"], settled["exercise"], settled["line"], strict=True)) if len(settled) else set()
        wanted: dict[int, list[int]] = {}
        for key, own in self._loads().items():
            current = self._current(own, self.all_weeks[key[0]].log.mondays + 6)
            for line in self.done[key].lines.tolist():
                if current[line] >= 0 and (*key, line) not in settled:
                    wanted.setdefault(int(current[line]), []).append(line)
        rows = self._rows(self._look(sorted(wanted)))
        keep = {(number, line) for number, lines in wanted.items() for line in lines}
        return rows[[pair in keep for pair in zip(rows["number"].tolist(), rows["line"].tolist(), strict=True)]] if len(rows) else rows

    def _loads(self) -> dict[tuple[int, str], list[int]]:
        """Log and exercise -> its series of repetitions, one a load."""
        found: dict[tuple[int, str], list[int]] = {}
        for i, name in enumerate(self.series.names):
            if name.measure == "reps" and name[:2] in self.done:
                found.setdefault(name[:2], []).append(i)
        return found

    def _current(self, own: list[int], ends: np.ndarray) -> np.ndarray:
        """The series that the latest session before each week's end belongs to, its heaviest; −1 before the first, (weeks,)."""
        rows = np.concatenate([np.arange(self.series.begin[i], self.series.begin[i + 1]) for i in own])
        number = np.repeat(own, [self.series.begin[i + 1] - self.series.begin[i] for i in own])
        day, load = self.series.points["day"][rows], np.nan_to_num(self.series.points["load_kg"][rows])
        order = np.lexsort((load, day))
        at = np.searchsorted(day[order], ends, side="right") - 1
        return np.where(at >= 0, number[order][np.maximum(at, 0)], -1)

    def _rows(self, looks: Looks) -> pd.DataFrame:
        """One row per week of each series: its look, the value now with its interval, and the best so far."""
        if not len(looks.numbers):
            return pd.DataFrame()
        said, rows = self._said(looks), []
        for place, number in enumerate(looks.numbers):
            name = self.series.names[number]
            when = self.done[name[:2]]
            at = looks.row(place, np.maximum(when.look[when.lines], looks.first_line[place]))
            own = {column: values[at] for column, values in said.items()} | {"line": when.lines, "held": when.held[when.lines]}
            own |= self._now(number, own, self.all_weeks[name.owner].log.mondays[when.lines] + 6)
            known = ~np.isnan(own["best_value"])
            rows.append({column: values[known] for column, values in own.items()} | {"number": np.full(known.sum(), number)})
        table = pd.DataFrame({column: np.concatenate([r[column] for r in rows]) for column in rows[0]})
        number = table["number"].to_numpy(int)
        owner, exercise, measure, label = (np.array(values, object)[number] for values in zip(*self.series.names, strict=True))
        return table.assign(owner=owner.astype(int), exercise=exercise, measure=measure, series=label)

    def _said(self, looks: Looks) -> dict[str, np.ndarray]:
        """What each look says. With too little data there is no trend: its numbers are NaN."""
        fits, asked, rules = looks.fits, looks.asked, self.rules
        gain = np.concatenate([self._worthwhile(n, DAYS * asked.end[a:b]) for n, a, b in zip(looks.numbers, looks.start[:-1], looks.start[1:], strict=True)])
        enough = enough_data(fits.sessions, fits.first, fits.last, asked.end, looks.needed, rules) & np.isfinite(fits.slope_se)
        numbers = {
            "slope": fits.slope, "se": fits.slope_se, "scale": looks.found.scale, "level_se": fits.level_se, "offset": fits.offset,
            "offset_se": fits.offset_se, "fit_from_y": fits.level + fits.slope * (fits.first - asked.end),
            "fit_to_y": fits.level + fits.slope * (fits.last - asked.end), "fit_from_day": np.round(fits.first * DAYS), "fit_to_day": np.round(fits.last * DAYS)}
        out = {name: np.where(enough, values, np.nan) for name, values in numbers.items()}
        begins = np.isin(np.arange(len(gain)), looks.start[:-1])
        return out | {"sessions": fits.sessions, "span_weeks": fits.last - fits.first} | judge(out["slope"], out["se"], enough, gain, begins, rules)._asdict()

    def _worthwhile(self, number: int, ends: np.ndarray) -> np.ndarray:
        """Smallest worthwhile gain, % a week: of the level, or of the repetitions last done."""
        name, own = self.series.names[number], self.series.own(number)
        if name.measure != "reps":
            return np.full(len(ends), self.rules.worthwhile_pct[self.all_weeks[name.owner].log.level])
        last = np.maximum(np.searchsorted(self.series.points["day"][own], np.round(ends), side="right") - 1, 0)
        return worthwhile_reps_pct(self.series.points["value"][own][last], self.rules)

    def _now(self, number: int, said: dict[str, np.ndarray], ends: np.ndarray) -> dict[str, np.ndarray]:
        """A series' value at each look with the 80 % interval, of the line where there is a verdict, else of the last best
        set; in kg of the load too; and the best so far with its day. NaN before the first session.

        Value and best are of the points that count in a trend, as far as there are any by then, else of the faint ones.
        """
        counted = self.series.counted[self.series.own(number)]
        table = self._values(number, counted, said, ends)
        if not counted.all():
            every, none = self._values(number, np.ones(len(counted), bool), said, ends), np.isnan(table["best_value"])
            table = {name: np.where(none, every[name], values) for name, values in table.items()}
        return table | {"fit_from_value": np.exp(said["fit_from_y"] / 100), "fit_to_value": np.exp(said["fit_to_y"] / 100)}

    def _values(self, number: int, which: np.ndarray, said: dict[str, np.ndarray], ends: np.ndarray) -> dict[str, np.ndarray]:
        own = self.series.own(number)
        day, values, noise, mass = (self.series.points[name][own][which] for name in ("day", "value", "noise", "body_mass"))
        if not len(day):
            return dict.fromkeys(("value", "value_low", "value_high", "e1rm_kg", "low_kg", "high_kg", "best_value", "best_since", "idle_days", "last_day"),
                                 np.full(len(ends), np.nan))
        at = np.searchsorted(day, ends, side="right") - 1
        last = np.maximum(at, 0)
        fitted = (said["verdict"] != TOO_LITTLE) & np.isfinite(said["fit_to_y"])
        # The line's value at the last session: nothing is said of strength after it.
        middle = np.where(fitted, np.exp(said["fit_to_y"] / 100), values[last])
        spread = np.exp(self.rules.z_interval * np.where(fitted, said["level_se"], noise[last]) / 100)
        kg = {"e1rm": 1.0, "per_kg": mass[last]}.get(self.series.names[number].measure, np.nan)
        best = np.maximum.accumulate(values)
        first = np.searchsorted(best, best[last], side="left")
        table = {"value": middle, "value_low": middle / spread, "value_high": middle * spread, "e1rm_kg": middle * kg, "low_kg": middle / spread * kg,
                 "high_kg": middle * spread * kg, "best_value": best[last], "best_since": day[first], "idle_days": ends - day[last], "last_day": day[last]}
        return {name: np.where(at >= 0, v, np.nan) for name, v in table.items()}
