"""When a plateau or a decline began, and what else changed around it, week by week as it was known then."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
import pandas as pd

from dashboard.measures import around, onset as dating
from dashboard.measures.eligibility import worthwhile_pct
from dashboard.measures.numbering import is_first, numbered
from dashboard.measures.window import Series
from dashboard.standing.bests import ESTIMATES, REPEATED, SERIES
from dashboard.standing.body import body, part_ids, prime_parts
from dashboard.standing.raised import plain
from dashboard.standing.strength import Strength
from dashboard.standing.weekly import Weekly
from dashboard.standing.when import part_of
from etl.settings import RULES, Rules
from etl.store.marked_weeks import AWAY

JUDGED = ("plateau", "declining")
COLUMNS = ["line", "subject", "measure", "verdict", "state", "onset", "low", "high", "before_pct_week", "after_pct_week", "changes"]
HALF_WEEK = 0.5
OF_A_PART = (around.HARD_SETS, around.DAYS, around.GAP)


def onsets(w: Weekly, found: Strength, since: int = 0, rules: Rules = RULES) -> pd.DataFrame:
    """One row per exercise or part whose verdict is plateau or declining, and week among the log's last `onset_kept_weeks`;
    columns COLUMNS. onset, low and high are the Mondays of weeks (whole days), nan where unknown; `changes` is JSON text, a
    list of before and after.
    """
    since = max(since, first_dated(w, rules))
    exercises, parts = (_judged(table, since) for table in (found.exercises, found.parts))
    if exercises.empty and parts.empty:
        return pd.DataFrame(columns=COLUMNS)
    done = _Done(w, found, rules)
    asked = [*_exercises(done, exercises), *_parts(done, parts)]
    # A part of one exercise has that exercise's onset.
    datings = {one.key: one.question for one in asked}
    dated = dict(zip(datings, dating.onsets(list(datings.values()), rules), strict=True))
    return pd.DataFrame([one.row(dated[one.key]) for one in asked], columns=COLUMNS)


def first_dated(w: Weekly, rules: Rules = RULES) -> int:
    """The line of the first week whose verdicts are dated: those that are still looked at. Dating takes longer than judging."""
    return max(0, w.log.weeks - rules.onset_kept_weeks)


def _exercises(done: _Done, judged: pd.DataFrame) -> Iterator[_Asked]:
    if judged.empty:
        return
    for key, rows in judged.groupby(["exercise", "measure", "series"], sort=False):
        exercise, measure, _ = key
        shown = _Shown(done, key)
        seen = _Around(done, done.exercise == exercise, prime_parts(exercise), measure)
        for row in rows.itertuples():
            line = int(shown.look_line[row.line])
            yield _Asked(done, row, exercise, measure, [shown], line, shown.worthwhile(line), seen)


def _parts(done: _Done, judged: pd.DataFrame) -> Iterator[_Asked]:
    if judged.empty:
        return
    positions = dict(zip(judged["part"], body().part_positions(list(judged["part"])), strict=True))
    series = [_Shown(done, key) for key in done.series if set(prime_parts(key[0])) & set(positions.values())]
    for (part, measure), rows in judged.groupby(["part", "measure"], sort=False):
        p, measures = positions[part], ESTIMATES if measure == "estimates" else REPEATED
        mine = [one for one in series if one.name[1] in measures and p in prime_parts(one.name[0])]
        seen = _Around(done, done.w.set_direct[:, p] > 0, [p])
        look_line = np.maximum(part_of(done.w, p, 0, done.rules).look, 0)
        for row in rows.itertuples():
            line = int(look_line[row.line])
            yield _Asked(done, row, part, "", mine, line, row.worth, seen)


def _judged(table: pd.DataFrame, since: int) -> pd.DataFrame:
    """What is read of the weeks that are to be dated."""
    if table.empty:
        return table
    columns = [name for name in ("line", "exercise", "part", "measure", "series", "verdict", "worth") if name in table]
    return table.loc[table["verdict"].isin(JUDGED) & (table["line"] >= since), columns]


class _Asked(NamedTuple):
    """A verdict to date: its row (line, verdict), the subject and the measure, the series, the line of its look, the gain worth
    having, and what may differ around it."""

    done: _Done
    judged: tuple
    subject: str
    measure: str
    shown: list[_Shown]
    look: int
    worth: float
    seen: _Around

    @property
    def key(self) -> tuple:
        return (*(one.name for one in self.shown), self.look, self.judged.verdict)

    @property
    def question(self) -> dating.Dating:
        end = float(self.done.weeks_of(self.done.ends[self.look]))
        return dating.Dating([one.until(self.look) for one in self.shown], end, self.judged.verdict, self.worth)

    def row(self, dated: dating.Onset) -> tuple:
        changes = self.seen.changes(dated, self.look) if dated.state == dating.DATED else []
        days = [self.done.monday_of(week) for week in (dated.week, dated.low, dated.high)]
        return (self.judged.line, self.subject, self.measure, self.judged.verdict, dated.state, *days, dated.before, dated.after,
                json.dumps(plain(changes)))


class _Done:
    """The log as arrays: of its sets (sets,), of its weeks, and body mass by day. away: the weeks marked as a holiday or an illness.

    points: of those that count in a trend; series: exercise, measure and series -> its points; when: of each exercise.
    """

    def __init__(self, w: Weekly, found: Strength, rules: Rules) -> None:
        points, self.when = found.points, found.when
        counted = np.flatnonzero(points["counted"].to_numpy(bool))
        self.points = {name: points[name].to_numpy(float)[counted] for name in ("day", "value", "noise", "band", "readiness")}
        names = [points[name].to_numpy(object)[counted] for name in SERIES[1:]]
        begins = np.flatnonzero(is_first(numbered(*names))).tolist()
        self.series = {tuple(name[a] for name in names): slice(a, b) for a, b in zip(begins, [*begins[1:], len(counted)], strict=True)}
        sets = w.log.sets
        self.w, self.rules, self.ends = w, rules, w.log.mondays + 6
        self.exercise = sets["exercise"].to_numpy(object)
        self.away = w.log.marked_as(*AWAY)
        self.work = (sets["kind"] != "warm_up").to_numpy(bool)
        self.day, self.line = sets["day"].to_numpy(int), sets["line"].to_numpy(int)
        self.reserve, self.reps = sets["in_reserve"].to_numpy(float), sets["reps"].to_numpy(float)
        first = np.unique(self.day, return_index=True)[1]
        self.weighed, self.mass = self.line[first], sets["body_mass"].to_numpy(float)[first]

    def weeks_of(self, day: np.ndarray | float) -> np.ndarray:
        """Days as weeks from the end of the log's first week, as the trend counts them."""
        return (np.asarray(day, float) - self.ends[0]) / 7

    def monday_of(self, middle: float) -> float:
        """The Monday (whole days) of the week whose middle is given."""
        return float(np.round(7 * (middle - HALF_WEEK) + self.ends[0]))


class _Shown:
    """One series as each week's look may use it; its name is its exercise, measure and series."""

    def __init__(self, done: _Done, name: tuple[str, str, str]) -> None:
        self.name, when = name, done.when[name[0]]
        own = done.series.get(name, slice(0, 0))
        self.day, self.value, noise, band, readiness = (values[own] for values in done.points.values())
        self.series = Series(done.weeks_of(self.day), 100 * np.log(self.value), noise, band, readiness=readiness)
        self.look_line = np.maximum(when.look, 0)
        self.first = done.weeks_of(when.restart)
        self.done = done

    def until(self, line: int) -> Series:
        return self.series._replace(first_week=float(self.first[line]))

    def worthwhile(self, line: int) -> float:
        """Smallest worthwhile gain at the look, % a week."""
        last = max(int(np.searchsorted(self.day, self.done.ends[line], side="right")) - 1, 0)
        return float(worthwhile_pct(self.name[1:2], self.value[last : last + 1], [self.done.w.log.level], self.done.rules)[0])


class _Around:
    """What is compared before and after an onset: of the sets `own` (sets,), and of the part that they train most."""

    def __init__(self, done: _Done, own: np.ndarray, parts: list[int], measure: str = "") -> None:
        w, own = done.w, own & done.work
        self.part = parts[int(np.argmax(w.parts.dose[:, parts].sum(axis=0)))] if parts else None
        self.dose = w.whole if self.part is None else w.parts.dose[:, self.part]
        self.days = w.body_days if self.part is None else w.part_days[self.part]
        self.day_line = (self.days - w.log.mondays[0]) // 7
        self.line, self.reserve, self.reps = done.line[own], done.reserve[own], done.reps[own]
        self.gap, self.gap_from, self.gap_to, away = np.diff(self.days), self.day_line[:-1], self.day_line[1:], done.away
        # A holiday or an illness is why nothing was done between two days, so that these say nothing of the training.
        self.gap_told = np.array([not away[a : b + 1].any() for a, b in zip(self.gap_from, self.gap_to, strict=True)], bool)
        self.done, self.measure = done, measure

    def changes(self, dated: dating.Onset, line: int) -> list[dict]:
        """What differs by enough between the weeks before the onset and those from it to the look; the running week is left out. The longest time
        between two days is looked for in as many weeks from the onset on as before it: over more it is longer by chance, and a single one long
        after it is not around it.
        """
        log, rules = self.done.w.log, self.done.rules
        start = int((self.done.monday_of(dated.week) - log.mondays[0]) // 7)
        weeks = np.arange(log.weeks)
        before = (weeks < start) & (weeks >= start - rules.around_weeks)
        after = (weeks >= start) & (weeks <= min(line, log.complete - 1))
        if min(before.sum(), after.sum()) < rules.around_min_weeks:
            return []
        part = {} if self.part is None else {"part": part_ids()[self.part]}
        return [{"what": one.what, "before": one.before, "after": one.after} | (part if one.what in OF_A_PART else {})
                for one in around.named(self._seen(before, before), self._seen(after, after & (weeks < start + rules.around_weeks), before), rules)]

    def _seen(self, weeks: np.ndarray, near: np.ndarray, earlier: np.ndarray | None = None) -> dict[str, float]:
        """The means and medians of some weeks, easy ones left out but for body mass and days off. near: those of them in which a time between two
        days has to end; it begins there or in the `earlier` ones.
        """
        usual = weeks & ~self.done.w.deload
        usual = usual if usual.any() else weeks
        inside = usual[self.line]
        begins = near if earlier is None else near | earlier
        reserve, gaps = self.reserve[inside], self.gap[self.gap_told & begins[self.gap_from] & near[self.gap_to]]
        # Repetitions at one load are the strength that is judged, not something beside it.
        reps = np.nan if self.measure == "reps" else _median(self.reps[inside])
        return {around.HARD_SETS: float(self.dose[usual].mean()), around.DAYS: usual[self.day_line].sum() / usual.sum(),
                around.RIR: _mean(reserve), around.REPS: reps, around.MASS: _mean(self.done.mass[weeks[self.done.weighed]]),
                around.GAP: float(gaps.max()) if len(gaps) else np.nan,
                around.LOGGED: float(np.isfinite(reserve).mean()) if len(reserve) else np.nan}


def _mean(values: np.ndarray) -> float:
    known = values[np.isfinite(values)]
    return float(known.mean()) if len(known) else np.nan


def _median(values: np.ndarray) -> float:
    known = values[np.isfinite(values)]
    return float(np.median(known)) if len(known) else np.nan
