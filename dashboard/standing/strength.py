"""Strength week by week: each exercise's trend and verdict, and one verdict per part pooled from its exercises.

All series of all logs are looked at together; which looks each week needs is decided before (`when.py`), and what they
say is put into rows after.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from dashboard.standing.bests import ESTIMATES, REPEATED, bests
from dashboard.standing.body import prime_parts
from dashboard.standing.exercise_strength import exercise_rows, look_at
from dashboard.standing.part_strength import Pools, part_rows, told_parts
from dashboard.standing.series import AllSeries
from dashboard.standing.sessions import Sessions, few, sessions
from dashboard.standing.weekly import Weekly
from dashboard.standing.when import When, exercises_of, first_looks, part_of
from etl.settings import RULES, Rules


@dataclass(frozen=True)
class Strength:
    """points: the bests; exercises and parts: one row per week and exercise or part (see the kept tables); when: of each exercise."""

    points: pd.DataFrame
    exercises: pd.DataFrame
    parts: pd.DataFrame
    when: dict[str, When]


def strength(all_weeks: Sequence[Weekly], since: Sequence[int], rules: Rules = RULES) -> list[Strength]:
    """Of each log what all looks from its week line `since` on say."""
    if not all_weeks:
        return []
    points, owner = _points(all_weeks, rules)
    series = AllSeries(points, owner, rules)
    whens = [exercises_of(w, line, rules) for w, line in zip(all_weeks, since, strict=True)]
    done = {(i, name): when for i, of_log in enumerate(whens) for name, when in of_log.items()}
    estimates, repetitions = (_pools(series, done, of) for of in (ESTIMATES, REPEATED))
    known, many = ({key: sessions(series.days(own), all_weeks[key[0]], rules) for key, own in pools.items()} for pools in (estimates, repetitions))
    told = {key: one.known for key, one in known.items()}
    repeated = {key: _told_in_repetitions(one, known.get(key), rules) for key, one in many.items()}
    repetitions = {key: own for key, own in repetitions.items() if repeated[key].any()}
    parts = {key: part_of(all_weeks[key[0]], key[1], min(int(done[series.names[n][:2]].lines[0]) for n in [*estimates.get(key, []), *repetitions.get(key, [])]), rules)
             for key in sorted({*estimates, *repetitions})}
    first = [first_looks([when for (owner_, _), when in [*done.items(), *parts.items()] if owner_ == i]) for i in range(len(all_weeks))]
    single = [i for i, name in enumerate(series.names) if name.measure != "reps" and name[:2] in done]
    looks = look_at(all_weeks, series, single, done, first, rules, weights=True)
    exercises = exercise_rows(all_weeks, series, looks, done, first, rules)
    members = sorted({n for own in repetitions.values() for n in own})
    pooled = told_parts(
        part_rows(all_weeks, series, looks, "estimates", estimates, told, parts, first, rules=rules),
        part_rows(all_weeks, series, look_at(all_weeks, series, members, done, first, rules, weights=True), "repetitions", repetitions, repeated, parts, first,
                  _current(series, members, all_weeks), rules),
        np.array([w.log.level for w in all_weeks], object), rules)
    cuts = np.searchsorted(owner, np.arange(len(all_weeks) + 1))
    return [Strength(points.iloc[cuts[i] : cuts[i + 1]].reset_index(drop=True), _own(exercises, i), _own(pooled, i), whens[i]) for i in range(len(all_weeks))]


def _points(all_weeks: Sequence[Weekly], rules: Rules) -> tuple[pd.DataFrame, np.ndarray]:
    """The bests of all logs, in the logs' order, without those of a deload in any trend; and the place of each one's log."""
    points = bests([w.log for w in all_weeks], rules)
    owner = points["athlete"].map({w.log.athlete: i for i, w in enumerate(all_weeks)}).to_numpy(int)
    order = np.argsort(owner, kind="stable")
    points, owner = points.iloc[order].reset_index(drop=True), owner[order]
    deload = np.concatenate([w.deload for w in all_weeks])
    offset = np.cumsum([0, *(w.log.weeks for w in all_weeks)])
    return points.assign(counted=points["counted"].to_numpy(bool) & ~deload[offset[owner] + points["line"].to_numpy()]), owner


def _pools(series: AllSeries, done: dict[tuple[int, str], When], measures: tuple[str, ...]) -> Pools:
    """Log and part -> the series of these measures of the exercises whose prime mover it is."""
    found: Pools = {}
    for i, name in enumerate(series.names):
        if name.measure in measures and name[:2] in done and series.counts(i):
            for part in prime_parts(name.exercise):
                found.setdefault((name.owner, part), []).append(i)
    return dict(sorted(found.items()))


def _told_in_repetitions(repetitions: Sessions, estimates: Sessions | None, rules: Rules) -> np.ndarray:
    """At which week's ends a part may be told in repetitions and holds, (weeks,), by what was known then: where their sessions are
    enough for a verdict and those of estimates are not, or are few beside them; and as long as there was no estimate.
    """
    if estimates is None:
        return repetitions.known
    rare = few(estimates.count, repetitions.count, rules)
    return (repetitions.enough & (rare | ~estimates.enough)) | (repetitions.known & ~estimates.known)


def _current(series: AllSeries, numbers: Sequence[int], all_weeks: Sequence[Weekly]) -> dict[int, np.ndarray]:
    """By series the week's ends at which its exercise is done at its load or in its variant, (weeks,): as for an exercise by itself,
    what was left behind is not read.
    """
    of_exercise: dict[tuple[int, str, str], list[int]] = {}
    for n in numbers:
        of_exercise.setdefault(series.names[n][:3], []).append(n)
    found = {}
    for (owner, *_), own in of_exercise.items():
        at = series.current(own, all_weeks[owner].log.mondays + 6)
        found.update({n: at == n for n in own})
    return found


def _own(table: pd.DataFrame, owner: int) -> pd.DataFrame:
    """The rows of one log, of a table in the logs' order."""
    if table.empty:
        return pd.DataFrame()
    return table.iloc[slice(*np.searchsorted(table["owner"], [owner, owner + 1]))].drop(columns="owner").reset_index(drop=True)
