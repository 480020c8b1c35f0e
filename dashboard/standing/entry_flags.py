"""Notes: exercises that are new or back, and numbers that may be slips of the pen."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np
import pandas as pd

from dashboard.measures.dose import sets_of_kinds
from dashboard.measures.medians import median
from dashboard.measures.numbering import APART
from dashboard.sentences import load as say
from dashboard.sentences.numbers import number
from dashboard.standing.raised import Raised
from dashboard.standing.weekly import Weekly
from etl import tables
from etl.settings import RULES, Rules


@tables.per_catalogue
def exercise_names() -> Mapping[str, str]:
    """The trade name of each exercise id."""
    table = tables.exercises()
    return MappingProxyType(dict(zip(table["exercise_id"], table["name"], strict=True)))


def entry_flags(w: Weekly, points: pd.DataFrame, rules: Rules = RULES) -> list[Raised]:
    """first_exposure and check_entry, of every complete week."""
    exercises, of_kind = np.unique(np.array([exercise for exercise, _ in w.log.kinds], object), return_inverse=True)
    of_set = of_kind[w.log.sets["kind_no"].to_numpy()]
    return [f for f in (*_first(w, exercises, of_set, rules), *_entries(w, exercises, of_set, points, rules)) if f.line < w.log.complete]


def _first(w: Weekly, exercises: np.ndarray, of_set: np.ndarray, rules: Rules) -> list[Raised]:
    """Exercises with more than three hard sets in a week after eight weeks without one; one message for all of a week."""
    sets, line = w.log.sets["hard"].to_numpy(), w.log.sets["line"].to_numpy()
    hard, rows = (sets_of_kinds(count, of_set, line, len(exercises), w.log.weeks).T for count in (sets, np.ones(len(sets))))
    which, week = np.nonzero(rows)
    since = np.where(np.diff(which, prepend=-1) > 0, np.inf, np.diff(week, prepend=0))
    new = (exercises[which] != "") & (week >= rules.first_weeks) & (since > rules.first_weeks) & (hard[which, week] > rules.first_sets)
    found: dict[int, list[int]] = {}
    for exercise, at in zip(which[new].tolist(), week[new].tolist(), strict=True):
        found.setdefault(at, []).append(exercise)
    names = exercise_names()
    return [Raised(at, "first_exposure", exercises[one], "note", say.first_exposure([names[exercises[e]] for e in some]), {"hard_sets": float(hard[one, at])})
            for at, some in found.items() for one in some]


def _entries(w: Weekly, exercises: np.ndarray, of_set: np.ndarray, points: pd.DataFrame, rules: Rules) -> list[Raised]:
    odd = [*_odd_loads(*_top_loads(w, exercises, of_set), rules), *_odd_estimates(*_estimates(w, exercises, points), rules)]
    found = {(exercises[key // APART], int(key % APART // 7)): told for key, *told in reversed(odd)}
    names = exercise_names()
    return [Raised(line, "check_entry", exercise, "note", say.check_entry(names[exercise], what), numbers)
            for (exercise, line), (what, numbers) in found.items()]


def _top_loads(w: Weekly, exercises: np.ndarray, of_set: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Each exercise's heaviest work set of each day: their keys, ascending, and the loads in kg."""
    load = w.log.sets["load_kg"].to_numpy(float)
    used = np.flatnonzero((load > 0) & (exercises != "")[of_set] & (w.log.sets["kind"].to_numpy(object) != "warm_up"))
    key = of_set[used] * APART + w.log.sets["day"].to_numpy()[used] - w.log.mondays[0]
    order = np.argsort(key, kind="stable")
    keys, first = np.unique(key[order], return_index=True)
    return keys, np.maximum.reduceat(load[used][order], first) if len(keys) else np.zeros(0)


def _estimates(w: Weekly, exercises: np.ndarray, points: pd.DataFrame) -> tuple[np.ndarray, np.ndarray]:
    """The estimated maxima that count in a trend, one a day, in the same form."""
    measure = points["measure"].to_numpy(object)
    used = np.flatnonzero(points["counted"].to_numpy(bool) & ((measure == "e1rm") | (measure == "per_kg")))
    of_exercise = {exercise: i for i, exercise in enumerate(exercises)}
    exercise = np.array([of_exercise[name] for name in points["exercise"].to_numpy(object)[used]], int)
    key = exercise * APART + points["day"].to_numpy()[used] - w.log.mondays[0]
    order = np.argsort(key, kind="stable")
    return key[order], points["value"].to_numpy(float)[used][order]


def _odd_loads(key: np.ndarray, load: np.ndarray, rules: Rules) -> list[tuple]:
    """(key, what is odd, numbers) of each day whose top load is the usual one of eight weeks in the other unit."""
    usual = median(_recent(key, load, rules))
    with np.errstate(invalid="ignore"):
        odd = np.any([np.abs(load / usual / factor - 1) <= rules.entry_units_near for factor in rules.entry_units], axis=0)
    return [(key[i], f"{number(load[i])} kg is {number(load[i] / usual[i], 2)} times the usual {number(usual[i])} kg, as if pounds and kilograms were mixed up",
             {"load_kg": load[i], "usual_kg": usual[i]}) for i in np.flatnonzero(odd)]


def _odd_estimates(key: np.ndarray, value: np.ndarray, rules: Rules) -> list[tuple]:
    """(key, what is odd, numbers) of each estimate far above the best of the eight weeks before it."""
    best = np.fmax.reduce(_recent(key, value, rules), axis=1)
    odd = value > best * (1 + rules.entry_pct / 100)
    return [(key[i], f"the estimated maximum is {number(100 * (value[i] / best[i] - 1), 0)} % above the best of eight weeks",
             {"value": value[i], "best": best[i]}) for i in np.flatnonzero(odd)]


def _recent(key: np.ndarray, value: np.ndarray, rules: Rules) -> np.ndarray:
    """The values of the same exercise in the eight weeks before each day, (n, most of them), NaN beyond. key: ascending, no two alike."""
    at, first = np.arange(len(key)), np.searchsorted(key, key - 7 * rules.usual_weeks)
    before = at[:, None] - np.arange(1, max(2, (at - first).max(initial=0) + 1))
    return np.where(before >= first[:, None], value[before], np.nan)
