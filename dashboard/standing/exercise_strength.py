"""One verdict per exercise and week, of the series that says most at it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from dashboard.measures.trend import enough_data, judge
from dashboard.measures.verdict import TOO_LITTLE
from dashboard.sentences.strength import exercise_reasons
from dashboard.standing.sessions import few, sessions
from dashboard.standing.series import DAYS, AllSeries, Looks, look
from dashboard.standing.weekly import Weekly
from dashboard.standing.when import When, read_since
from etl.settings import RULES, Rules

RISEN_WEEKS = 12  # [D] as many as the stair shows
Rows = dict[str, np.ndarray]
Exercises = dict[tuple[int, str], When]


def look_at(all_weeks: Sequence[Weekly], series: AllSeries, numbers: Sequence[int], done: Exercises, first: Sequence[int], rules: Rules = RULES,
            weights: bool = False) -> Looks:
    """Look at some series, from the line of the earliest look of their log on."""
    names = [series.names[n] for n in numbers]
    weeks, begin = [all_weeks[name.owner] for name in names], [first[name.owner] for name in names]
    return look(series, numbers, [w.log.mondays[a:] + 6 for w, a in zip(weeks, begin, strict=True)],
                [done[name[:2]].restart[a:] for name, a in zip(names, begin, strict=True)], begin, [w.log.level for w in weeks], rules, weights)


def exercise_rows(all_weeks: Sequence[Weekly], series: AllSeries, estimates: Looks, done: Exercises, first: Sequence[int], rules: Rules = RULES) -> pd.DataFrame:
    """One row per week and exercise, in order of log, exercise and week. estimates: looks at all series but those of repetitions."""
    told = _Told(all_weeks, series, done, rules)
    rows = told.rows(estimates)
    current = told.current_loads(rows)
    repetitions = told.rows(look_at(all_weeks, series, sorted({n for n, _ in current}), done, first, rules), current)
    every = {name: np.concatenate([rows[name], repetitions[name]]) for name in rows}
    if not len(every["number"]):
        return pd.DataFrame()
    owner, exercise, measure, label = (np.array(values, object)[every["number"]] for values in zip(*series.names, strict=True))
    owner, (code, names) = owner.astype(int), np.unique(exercise.astype(str), return_inverse=True)[::-1]
    # The most sessions, an estimate before repetitions; each look chooses from what was known at it.
    rank = every["sessions"] + np.where(measure != "reps", 0.5, 0)
    order = np.lexsort((rank, every["line"], code, owner))
    key = np.array([owner, code, every["line"]])[:, order]
    best = order[np.r_[(key[:, 1:] != key[:, :-1]).any(axis=0), True]]
    every |= {"owner": owner, "exercise": names.astype(object)[code], "measure": measure, "series": label}
    table = pd.DataFrame({name: values[best] for name, values in every.items() if name != "number"})
    levels = np.array([w.log.level for w in all_weeks], object)[table["owner"]]
    return table.assign(reason=exercise_reasons(table.assign(lighter=told.lighter(table)), levels, rules))


class _Told:
    """What looks at series say, week by week."""

    def __init__(self, all_weeks: Sequence[Weekly], series: AllSeries, done: Exercises, rules: Rules) -> None:
        self.all_weeks, self.series, self.done, self.rules = all_weeks, series, done, rules
        self.exercise = {key: i for i, key in enumerate(done)}
        self.weeks = max(w.log.weeks for w in all_weeks)
        self.current: dict[tuple[int, str], np.ndarray] = {}

    def rows(self, looks: Looks, wanted: set[tuple[int, int]] | None = None) -> Rows:
        """One row per week of each series from its first session on: its look, the value now with its interval, and the best
        so far. wanted: only these, by number and line.
        """
        names = [self.series.names[n] for n in looks.numbers]
        whens = [self.done[name[:2]] for name in names]
        place = np.repeat(np.arange(len(whens)), np.array([len(when.lines) for when in whens], int))
        line, held, shown, ends = (np.concatenate([np.empty(0), *parts]) for parts in (
            [when.lines for when in whens], [when.held[when.lines] for when in whens], [when.look[when.lines] for when in whens],
            [self.all_weeks[name.owner].log.mondays[when.lines] + 6 for name, when in zip(names, whens, strict=True)]))
        number, line = np.asarray(looks.numbers, int)[place], line.astype(int)
        last, best = self.series.so_far(number, ends)
        known = last >= 0
        if wanted is not None:
            known &= np.isin(number * self.weeks + line, [n * self.weeks + i for n, i in wanted])
        at = looks.row(place, np.maximum(shown.astype(int), looks.first_line[place]))[known]
        said = {name: values[at] for name, values in self._said(looks).items()}
        restart = np.concatenate([np.empty(0), *(when.restart[np.maximum(when.look[when.lines], 0)] for when in whens)])
        levels = np.array([self.all_weeks[name.owner].log.level for name in names], object)[place]
        said["read_since"] = read_since(restart, ends, levels, self.rules)[known]
        return said | self._values(number[known], last[known], best[known], ends[known], said) | {
            "line": line[known], "held": held[known].astype(bool), "number": number[known]}

    def current_loads(self, estimates: Rows) -> set[tuple[int, int]]:
        """Number and line of the series of repetitions at the load now used, where no estimate or hold has enough sessions, or an estimate has few
        beside those with repetitions at any load.
        """
        enough = estimates["sessions"] >= self.rules.trend_min_sessions
        number = estimates["number"][enough]
        exercise = np.array([self.exercise[self.series.names[n][:2]] for n in number.tolist()], int)
        settled = np.zeros((len(self.exercise), self.weeks))
        # A hold counts as all of them: none is left out of it.
        np.maximum.at(settled, (exercise, estimates["line"][enough]), np.where(self.series.measure[number] == "hold", np.inf, estimates["sessions"][enough]))
        found: set[tuple[int, int]] = set()
        for key, own in self._loads().items():
            w = self.all_weeks[key[0]]
            current, lines, known = self.series.current(own, w.log.mondays + 6), self.done[key].lines, settled[self.exercise[key]]
            rare = (known == 0) | few(known, sessions(self.series.days(own), w, self.rules).count, self.rules)
            lines = lines[(current[lines] >= 0) & rare[lines]]
            self.current[key] = current
            found.update(zip(current[lines].tolist(), lines.tolist(), strict=True))
        return found

    def lighter(self, table: pd.DataFrame) -> list[str]:
        """Of each row the lighter load, as its series is called, that an exercise was done at `RISEN_WEEKS` weeks before: where each new load begins a
        series of its own, a rise in loads would else be told as too little data alone. '' where there is a verdict, or the load is no heavier now.
        """
        found = []
        for owner, exercise, measure, verdict, line in zip(*(table[name].tolist() for name in ("owner", "exercise", "measure", "verdict", "line")), strict=True):
            now, before = self.current[owner, exercise][[line, line - RISEN_WEEKS]].tolist() if measure == "reps" and verdict == TOO_LITTLE and line >= RISEN_WEEKS else (-1, -1)
            risen = before >= 0 and now >= 0 and 0 < self._load_of(before) < self._load_of(now)
            found.append(self.series.names[before].label if risen else "")
        return found

    def _load_of(self, number: int) -> float:
        return float(np.nan_to_num(self.series.points["load_kg"][self.series.begin[number]]))

    def _loads(self) -> dict[tuple[int, str], list[int]]:
        """Log and exercise -> its series of repetitions, one a load."""
        found: dict[tuple[int, str], list[int]] = {}
        for i, name in enumerate(self.series.names):
            if name.measure == "reps" and name[:2] in self.done:
                found.setdefault(name[:2], []).append(i)
        return found

    def _said(self, looks: Looks) -> Rows:
        """What each look says. With too little data there is no trend: its numbers are NaN."""
        fits, asked, rules = looks.fits, looks.asked, self.rules
        enough = enough_data(fits.sessions, fits.first, fits.last, asked.end, looks.needed, rules) & np.isfinite(fits.slope_se)
        numbers = {
            "slope": fits.slope, "se": fits.slope_se, "scale": looks.found.scale, "level_se": fits.level_se, "offset": fits.offset,
            "offset_se": fits.offset_se, "fit_from_y": fits.level + fits.slope * (fits.first - asked.end),
            "fit_to_y": fits.level + fits.slope * (fits.last - asked.end), "fit_from_day": np.round(fits.first * DAYS), "fit_to_day": np.round(fits.last * DAYS)}
        out = {name: np.where(enough, values, np.nan) for name, values in numbers.items()}
        begins = np.isin(np.arange(len(enough)), looks.start[:-1])
        worth = self._worthwhile(asked.series, DAYS * asked.end)
        judged = judge(out["slope"], out["se"], enough, worth, begins, rules)
        return out | {"worth": worth, "sessions": fits.sessions, "span_weeks": fits.last - fits.first} | judged._asdict()

    def _worthwhile(self, number: np.ndarray, ends: np.ndarray) -> np.ndarray:
        """Smallest worthwhile gain of series at each look, % a week."""
        level = np.array([self.all_weeks[name.owner].log.level for name in self.series.names], object)
        return self.series.worthwhile(number, np.round(ends), level[number])

    def _values(self, number: np.ndarray, last: np.ndarray, best: np.ndarray, ends: np.ndarray, said: Rows) -> Rows:
        """A series' value at each look with the 80 % interval, of the line where there is a verdict, else of the last best
        set; in kg of the load too; and the best so far with its day.
        """
        day, value, noise, mass = (self.series.points[name] for name in ("day", "value", "noise", "body_mass"))
        fitted = (said["verdict"] != TOO_LITTLE) & np.isfinite(said["fit_to_y"])
        # The line's value at the last session: nothing is said of strength after it.
        middle = np.where(fitted, np.exp(said["fit_to_y"] / 100), value[last])
        spread = np.exp(self.rules.z_interval * np.where(fitted, said["level_se"], noise[last]) / 100)
        measure = self.series.measure[number]
        kg = np.select([measure == "e1rm", measure == "per_kg"], [1.0, mass[last]], np.nan)
        return {"value": middle, "value_low": middle / spread, "value_high": middle * spread, "e1rm_kg": middle * kg, "low_kg": middle / spread * kg,
                "high_kg": middle * spread * kg, "best_value": value[best], "best_since": day[best], "idle_days": ends - day[last], "last_day": day[last],
                "fit_from_value": np.exp(said["fit_from_y"] / 100), "fit_to_value": np.exp(said["fit_to_y"] / 100)}
