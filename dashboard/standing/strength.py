"""Strength week by week: each exercise's trend and verdict, and one verdict per part pooled from its exercises.

All series of all athletes are laid end to end and looked at together; what an athlete's weeks ask of each series is
decided series by series before, and put into rows after.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np
import pandas as pd

from dashboard.measures.eligibility import worthwhile_reps_pct
from dashboard.measures.gaps import away, latest, layoffs, limits_days, restarts
from dashboard.measures.readiness import shared_readiness
from dashboard.measures.trend import enough_data, judge, pool, pool_windows
from dashboard.measures.window import Asked, Stack, seen
from dashboard.measures.window_fit import fit_looks, span, ups
from dashboard.sentences.strength import exercise_reasons, part_reasons
from dashboard.standing.bests import SERIES, bests
from dashboard.standing.body import base_credits, body
from dashboard.standing.weekly import Weekly
from etl import tables
from etl.settings import RULES, Rules

POOLED = ("e1rm", "per_kg")
DAYS = 7
NOTHING = "too_little_data"


@dataclass(frozen=True)
class Strength:
    """points: the bests; exercises and parts: one row per week and exercise or part (see the kept tables)."""

    points: pd.DataFrame
    exercises: pd.DataFrame
    parts: pd.DataFrame


class Exercise(NamedTuple):
    """One athlete's exercise: when it is looked at.

    primes: positions of the parts whose prime mover it is. lines: the weeks to tell of; look (weeks,): the line of the look
    that each week tells, which is the last one that was not held; held (weeks,); restart (weeks,): the first day that each
    look may use. asked: the lines to look at, one a week, with the one before the first (a plateau needs two looks).
    """

    owner: int
    exercise: str
    primes: Sequence[int]
    lines: np.ndarray
    look: np.ndarray
    held: np.ndarray
    restart: np.ndarray

    @property
    def asked(self) -> np.ndarray:
        used = self.look[self.lines]
        first = max(int(used[used >= 0].min(initial=self.lines[0])) - 1, 0)
        return np.arange(first, self.lines[-1] + 1)


def strength(all_weeks: Sequence[Weekly], since: Sequence[int], rules: Rules = RULES) -> list[Strength]:
    """Of each log all looks from its week line `since` on."""
    points = bests([w.log for w in all_weeks], rules)
    owner = points["athlete"].map({w.log.athlete: i for i, w in enumerate(all_weeks)}).to_numpy(int)
    deload = np.concatenate([w.deload for w in all_weeks]) if all_weeks else np.zeros(0, bool)
    offset = np.cumsum([0, *(w.log.weeks for w in all_weeks)])
    points = points.assign(counted=points["counted"].to_numpy(bool) & ~deload[offset[owner] + points["line"].to_numpy()], owner=owner)
    done = [_exercises(w, i, line, rules) for i, (w, line) in enumerate(zip(all_weeks, since, strict=True))]
    looked = _Looked(all_weeks, points, {(e.owner, e.exercise): e for found in done for e in found}, rules)
    exercises, parts = looked.exercises(), looked.parts(since)
    return [Strength(points[owner == i].drop(columns="owner").reset_index(drop=True), _own(exercises, i), _own(parts, i)) for i in range(len(all_weeks))]


def _own(table: pd.DataFrame, owner: int) -> pd.DataFrame:
    return table[table["owner"] == owner].drop(columns="owner").reset_index(drop=True) if len(table) else pd.DataFrame()


@cache
def prime_parts(exercise: str) -> list[int]:
    """Positions of the parts whose prime mover the exercise is: credit 1 for one of their heads."""
    return _prime_parts().get(exercise, [])


@cache
def _prime_parts() -> dict[str, list[int]]:
    names = tables.exercises()["exercise_id"].tolist()
    base = base_credits(names)
    direct = np.stack([base[:, heads].max(axis=1) >= 1 if heads else np.zeros(len(names), bool) for heads in body().part_heads], axis=1)
    return {name: np.flatnonzero(row).tolist() for name, row in zip(names, direct, strict=True)}


def _exercises(w: Weekly, owner: int, since: int, rules: Rules) -> list[Exercise]:
    """When each exercise of a log is looked at."""
    mondays, ends = w.log.mondays, w.log.mondays + 6
    sets, known, found = w.log.sets, w.log.sets["exercise"].notna().to_numpy(), []
    code, names = pd.factorize(sets["exercise"].where(known, ""))
    day = sets["day"].to_numpy()
    of_body: dict[tuple[int, ...], tuple] = {}
    for number, name in enumerate(names):
        if not name:
            continue
        # Every day on which it was done, also those whose sets say nothing of strength.
        days = np.unique(day[code == number])
        primes = tuple(prime_parts(name))
        if primes not in of_body:
            part_days = np.unique(np.concatenate([w.part_days[p] for p in primes])) if primes else w.body_days
            held = away(ends, part_days, rules)
            of_body[primes] = part_days, held, _last_not_held(held), restarts(layoffs(part_days, int(ends[-1]), rules), ends, rules)
        part_days, held, look, restart = of_body[primes]
        first = max(since, int((days[0] - mondays[0]) // 7))
        lines = np.arange(first, len(mondays))
        if len(lines):
            found.append(Exercise(owner, name, primes, lines, look, held, np.maximum(restart, _dropped(days, part_days, ends, rules))))
    return found


def _last_not_held(held: np.ndarray) -> np.ndarray:
    """A held week repeats the look of the last week that was not held; −1 where there is none."""
    return np.maximum.accumulate(np.where(held, -1, np.arange(len(held))))


def _dropped(days: np.ndarray, part_days: np.ndarray, ends: np.ndarray, rules: Rules) -> np.ndarray:
    """An exercise that was dropped while its part was trained restarts, and passes over its first session back."""
    long = np.flatnonzero(np.diff(days) > limits_days(days, rules)[:-1])
    trained = [i for i in long if np.any((part_days > days[i]) & (part_days < days[i + 1]))]
    back = days[np.array(trained, int) + 1].astype(float)
    return latest(back, back + 1, ends)


class _Looked:
    """Every series of some logs, looked at."""

    def __init__(self, all_weeks: Sequence[Weekly], points: pd.DataFrame, done: dict[tuple[int, str], Exercise], rules: Rules) -> None:
        self.all_weeks, self.rules, self.done = all_weeks, rules, done
        same = (points[SERIES].to_numpy(object)[1:] == points[SERIES].to_numpy(object)[:-1]).all(axis=1)
        self.points = {name: points[name].to_numpy() for name in ("day", "value", "noise", "band", "body_mass", "counted", "owner", "load_kg")}
        self.begin = np.r_[0, np.flatnonzero(~same) + 1, len(points)] if len(points) else np.zeros(1, int)
        first = points.iloc[self.begin[:-1]]
        self.series = list(zip(first["owner"], first["exercise"], first["measure"], first["series"], strict=True))
        counted = self.points["counted"].astype(bool)
        self.stack = Stack(self.points["day"][counted] / DAYS, 100 * np.log(self.points["value"][counted].astype(float)),
                           self.points["noise"][counted].astype(float), self.points["band"][counted].astype(int),
                           np.r_[0, np.cumsum(counted)][self.begin])
        self.level = [w.log.level for w in all_weeks]

    def exercises(self) -> pd.DataFrame:
        """One row per week and exercise, of the series that says most at it."""
        tables_ = []
        chosen = [i for i, (owner, exercise, measure, _) in enumerate(self.series) if measure != "reps" and (owner, exercise) in self.done]
        estimates = self._rows(chosen, [self.done[self.series[i][:2]].asked for i in chosen])
        tables_.append(estimates)
        # An estimate or a hold with enough sessions goes before repetitions at the load now used.
        settled = set(zip(*(estimates[name][estimates["sessions"] >= self.rules.trend_min_sessions] for name in ("owner", "exercise", "line")), strict=True)
                      ) if len(estimates) else set()
        reps, asked, wanted = [], [], set()
        for (owner, exercise), own in self._repetitions().items():
            when = self.done.get((owner, exercise))
            if when is None:
                continue
            current = self._current(own, self.all_weeks[owner].log.mondays + 6)
            for i in own:
                lines = [line for line in when.lines.tolist() if current[line] == i and (owner, exercise, line) not in settled]
                if lines:
                    reps.append(i)
                    asked.append(when.asked)
                    wanted |= {(i, line) for line in lines}
        if reps:
            rows = self._rows(reps, asked)
            tables_.append(rows[[pair in wanted for pair in zip(rows["number"], rows["line"], strict=True)]])
        every = pd.concat([t for t in tables_ if len(t)], ignore_index=True) if any(len(t) for t in tables_) else pd.DataFrame()
        if every.empty:
            return every
        # Otherwise the most sessions, an estimate before repetitions; each look chooses from what was known at it.
        rank = every["sessions"] + np.where(every["measure"] != "reps", 0.5, 0)
        table = every.assign(rank=rank).sort_values(["owner", "exercise", "line", "rank"], kind="stable")
        table = table.drop_duplicates(["owner", "exercise", "line"], keep="last", ignore_index=True)
        level = np.array(self.level, object)[table["owner"]]
        return table.assign(reason=exercise_reasons(table, level, self.rules)).drop(columns=["rank", "number"])

    def _repetitions(self) -> dict[tuple[int, str], list[int]]:
        """Owner and exercise -> its series of repetitions."""
        found: dict[tuple[int, str], list[int]] = {}
        for i, (owner, exercise, measure, _) in enumerate(self.series):
            if measure == "reps":
                found.setdefault((owner, exercise), []).append(i)
        return found

    def _current(self, own: list[int], ends: np.ndarray) -> np.ndarray:
        """The series that the latest session before each week's end belongs to, its heaviest; −1 before the first, (weeks,)."""
        rows = np.concatenate([np.arange(self.begin[i], self.begin[i + 1]) for i in own])
        number = np.repeat(own, [self.begin[i + 1] - self.begin[i] for i in own])
        day, load = self.points["day"][rows], np.nan_to_num(self.points["load_kg"][rows].astype(float))
        order = np.lexsort((load, day))
        at = np.searchsorted(day[order], ends, side="right") - 1
        return np.where(at >= 0, number[order][np.maximum(at, 0)], -1)

    def _rows(self, numbers: list[int], asked: list[np.ndarray]) -> pd.DataFrame:
        """One row per week of some series: its look, the value now with its interval, and the best so far."""
        if not numbers:
            return pd.DataFrame()
        looks_ = self._look(numbers, asked)
        start = np.cumsum([0, *(len(a) for a in asked)])
        parts = []
        for number, lines_asked, begin in zip(numbers, asked, start[:-1], strict=True):
            when = self.done[self.series[number][:2]]
            at = begin + np.maximum(when.look[when.lines], lines_asked[0]) - lines_asked[0]
            look = {name: values[at] for name, values in looks_.items()}
            look["line"], look["held"] = when.lines, when.held[when.lines]
            known = self._now(number, look, self.all_weeks[when.owner].log.mondays[when.lines] + 6)
            parts.append({name: values[known] for name, values in look.items()} | {"number": np.full(known.sum(), number)})
        table = pd.DataFrame({name: np.concatenate([p[name] for p in parts]) for name in parts[0]})
        named = [np.array([s[k] for s in self.series], object)[table["number"].to_numpy(int)] for k in range(4)]
        return table.assign(owner=named[0].astype(int), exercise=named[1], measure=named[2], series=named[3])

    def _look(self, numbers: list[int], asked: list[np.ndarray]) -> dict[str, np.ndarray]:
        """The looks at some series, end to end. With too little data there is no trend: its numbers are NaN."""
        rules = self.rules
        lengths = [len(a) for a in asked]
        series = np.repeat(numbers, lengths)
        ends = np.concatenate([self._ends(n, a) for n, a in zip(numbers, asked, strict=True)])
        first = np.concatenate([self.done[self.series[n][:2]].restart[a] for n, a in zip(numbers, asked, strict=True)]) / DAYS
        window = np.repeat([float(rules.window_weeks[self.level[self.series[n][0]]]) for n in numbers], lengths)
        gain = np.concatenate([self._worthwhile(n, self._ends(n, a)) for n, a in zip(numbers, asked, strict=True)])
        look = Asked(series, ends / DAYS, first, window)
        points = seen(self.stack, look)
        t_first, t_last = span(self.stack, points)
        enough = enough_data(points.sessions, t_first, t_last, window, rules)
        out = {"sessions": points.sessions, "span_weeks": t_last - t_first, "fit_from_day": t_first * DAYS, "fit_to_day": t_last * DAYS}
        few = Asked(*(values[enough] for values in look))
        found = ups(self.stack, few, rules)
        fits = fit_looks(self.stack, few, found.scale, rules)
        numbers_of = {"slope": fits.slope, "se": fits.slope_se, "scale": found.scale, "level_se": fits.level_se, "offset": fits.offset,
                      "offset_se": fits.offset_se, "fit_from_y": fits.level + fits.slope * (fits.first - few.end),
                      "fit_to_y": fits.level + fits.slope * (fits.last - few.end)}
        for name, values in numbers_of.items():
            out[name] = np.full(len(ends), np.nan)
            out[name][enough] = values
        for name in ("fit_from_day", "fit_to_day"):
            out[name] = np.where(enough, np.round(out[name]), np.nan)
        begins = np.r_[True, np.diff(series) != 0]
        return out | judge(out["slope"], out["se"], enough, gain, begins, rules)._asdict()

    def _ends(self, number: int, lines: np.ndarray) -> np.ndarray:
        """The last day of some weeks of the athlete of a series."""
        return self.all_weeks[self.series[number][0]].log.mondays[lines] + 6

    def _worthwhile(self, number: int, ends: np.ndarray) -> np.ndarray:
        """Smallest worthwhile gain, % a week: of the level, or of the repetitions last done."""
        owner, _, measure, _ = self.series[number]
        if measure != "reps":
            return np.full(len(ends), self.rules.worthwhile_pct[self.level[owner]])
        own = slice(self.begin[number], self.begin[number + 1])
        last = np.maximum(np.searchsorted(self.points["day"][own], ends, side="right") - 1, 0)
        return worthwhile_reps_pct(self.points["value"][own].astype(float)[last], self.rules)

    def _now(self, number: int, look: dict[str, np.ndarray], ends: np.ndarray) -> np.ndarray:
        """Adds to a series' looks its value at each with the 80 % interval, of the line where there is a verdict, else of
        the last best set; in kg of the load too; and the best so far with its day. Returns which looks have a value.

        Value and best are of the points that count in a trend, as far as there are any by then, else of the faint ones.
        """
        own = slice(self.begin[number], self.begin[number + 1])
        counted = self.points["counted"][own].astype(bool)
        measure = self.series[number][2]
        table = self._values(own, counted, measure, look, ends)
        if not counted.all():
            every = self._values(own, np.ones(len(counted), bool), measure, look, ends)
            table = {name: np.where(np.isnan(table["best_value"]), every[name], values) for name, values in table.items()}
        look |= table
        look["fit_from_value"], look["fit_to_value"] = np.exp(look["fit_from_y"] / 100), np.exp(look["fit_to_y"] / 100)
        return ~np.isnan(table["best_value"])

    def _values(self, own: slice, which: np.ndarray, measure: str, look: dict[str, np.ndarray], ends: np.ndarray) -> dict[str, np.ndarray]:
        day, values, noise, mass = (self.points[name][own][which].astype(float) for name in ("day", "value", "noise", "body_mass"))
        if not len(day):
            return dict.fromkeys(("value", "value_low", "value_high", "e1rm_kg", "low_kg", "high_kg", "best_value", "best_since", "idle_days", "last_day"),
                                 np.full(len(ends), np.nan))
        at = np.searchsorted(day, ends, side="right") - 1
        last = np.maximum(at, 0)
        fitted = (look["verdict"] != NOTHING) & np.isfinite(look["fit_to_y"])
        # The line's value at the last session: nothing is said of strength after it.
        middle = np.where(fitted, np.exp(look["fit_to_y"] / 100), values[last])
        spread = np.exp(self.rules.z_interval * np.where(fitted, look["level_se"], noise[last]) / 100)
        kg = {"e1rm": 1.0, "per_kg": mass[last]}.get(measure, np.nan)
        best = np.maximum.accumulate(values)
        first = np.searchsorted(best, best[last], side="left")
        table = {"value": middle, "value_low": middle / spread, "value_high": middle * spread, "e1rm_kg": middle * kg, "low_kg": middle / spread * kg,
                 "high_kg": middle * spread * kg, "best_value": best[last], "best_since": day[first], "idle_days": ends - day[last], "last_day": day[last]}
        return {name: np.where(at >= 0, v, np.nan) for name, v in table.items()}

    def parts(self, since: Sequence[int]) -> pd.DataFrame:
        """One row per week and part, pooled over the exercises whose prime mover it is."""
        pools = self._pools()
        if not pools:
            return pd.DataFrame()
        rules, groups, members = self.rules, [], []
        for (owner, part), numbers in pools.items():
            w = self.all_weeks[owner]
            first = min(int(self.done[self.series[n][:2]].lines[0]) for n in numbers)
            lines, ends = np.arange(max(since[owner], first), w.log.weeks), w.log.mondays + 6
            if not len(lines):
                continue
            held = away(ends, w.part_days[part], rules)
            look = _last_not_held(held)
            asked = np.arange(max(0, int(look[lines].min(initial=lines[0])) - 1), w.log.weeks)
            groups.append((owner, part, numbers, lines, held[lines], np.maximum(look[lines], asked[0]) - asked[0], asked))
        lengths = [len(g[-1]) for g in groups]
        start = np.cumsum([0, *lengths])
        ends = np.concatenate([self.all_weeks[g[0]].log.mondays[g[-1]] + 6 for g in groups]) / DAYS
        for (owner, _, numbers, _, _, _, asked), begin in zip(groups, start[:-1], strict=True):
            members += [(n, begin + np.arange(len(asked)), self.done[self.series[n][:2]].restart[asked] / DAYS) for n in numbers]
        series = np.repeat([m[0] for m in members], [len(m[1]) for m in members])
        group = np.concatenate([m[1] for m in members])
        asked = Asked(series, ends[group], np.concatenate([m[2] for m in members]), np.zeros(len(group)))
        owners = np.repeat([g[0] for g in groups], lengths)
        return self._part_rows(groups, start, owners, self._pooled(asked, group, owners))

    def _pools(self) -> dict[tuple[int, int], list[int]]:
        """Owner and part -> the series of estimates of its exercises."""
        found: dict[tuple[int, int], list[int]] = {}
        for i, (owner, exercise, measure, _) in enumerate(self.series):
            if measure in POOLED and (owner, exercise) in self.done and self.stack.begin[i + 1] > self.stack.begin[i]:
                for part in self.done[owner, exercise].primes:
                    found.setdefault((owner, part), []).append(i)
        return dict(sorted(found.items()))

    def _pooled(self, asked: Asked, group: np.ndarray, owners: np.ndarray) -> dict[str, np.ndarray]:
        """The looks at all parts, (G,) each: of one exercise over the level's window, of several over the shortest that says enough.

        asked, group (M,): looks at series and the part's look that each belongs to; owners (G,).
        """
        rules, levels = self.rules, np.array(self.level, object)[owners]
        # Several parts may pool a series: it is looked at once.
        _, once, member = np.unique(np.stack([asked.series, np.rint(asked.end * DAYS).astype(int)], axis=1), axis=0, return_index=True, return_inverse=True)
        asked, member = Asked(*(values[once] for values in asked)), member.ravel()
        several = np.bincount(group, minlength=len(owners)) > 1
        found = ups(self.stack, asked, rules)
        moment = np.unique(np.stack([owners[group][once], np.rint(asked.end * DAYS).astype(int)], axis=1), axis=0, return_inverse=True)[1].ravel()
        shared = np.zeros(len(owners))
        shared[group] = shared_readiness(found.residuals, found.there, moment, int(moment.max()) + 1, rules)[moment][member]
        steps = self._steps(levels[group][once], np.isin(np.arange(len(once)), member[several[group]]))
        target = np.where(several, [rules.pool_se_pct[level] for level in levels], -np.inf)
        one = pool(self.stack, asked, found.scale, member, group, np.where(several, shared, 0.0), steps, target, rules)
        return one._asdict() | {"gain": np.array([rules.worthwhile_pct[level] for level in levels])}

    def _steps(self, levels: np.ndarray, several: np.ndarray) -> list[np.ndarray]:
        """The windows to try, shortest first, weeks of each look (L,); 0 where a look is wanted over its level's window alone."""
        by_level = {level: pool_windows(level, self.rules) for level in np.unique(levels)}
        count = max(len(windows) for windows in by_level.values())
        padded = {level: [*windows, *[windows[-1]] * (count - len(windows))] for level, windows in by_level.items()}
        weeks = np.array([padded[level] for level in levels], float).T
        weeks[:-1, ~several] = 0
        return list(weeks)

    def _part_rows(self, groups: list[tuple], start: np.ndarray, owners: np.ndarray, found: dict[str, np.ndarray]) -> pd.DataFrame:
        rules = self.rules
        begins = np.isin(np.arange(len(owners)), start[:-1])
        enough = enough_data(found["sessions"], found["first"], found["last"], found["weeks"], rules)
        judged = judge(found["slope"], found["slope_se"], enough, found["gain"], begins, rules)
        looked = {"slope": found["slope"], "se": found["slope_se"], "scale": found["scale"], **judged._asdict()}
        silent = judged.verdict == NOTHING
        looked = {name: np.where(silent, np.nan, values) if values.dtype.kind == "f" else values for name, values in looked.items()}
        looked |= {"sessions": found["sessions"].astype(int), "span_weeks": found["last"] - found["first"], "exercises": found["series"].astype(int),
                   "window_weeks": found["weeks"]}
        at = np.concatenate([begin + g[5] for g, begin in zip(groups, start[:-1], strict=True)])
        table = pd.DataFrame({name: values[at] for name, values in looked.items()})
        lengths = [len(g[3]) for g in groups]
        ids = body().parts["part_id"].to_numpy(object)
        table = table.assign(owner=np.repeat([g[0] for g in groups], lengths), part=np.repeat(ids[[g[1] for g in groups]], lengths),
                             line=np.concatenate([g[3] for g in groups]), held=np.concatenate([g[4] for g in groups]))
        return table.assign(reason=part_reasons(table, np.array(self.level, object)[table["owner"]], rules))
