"""Notes: exercises that are new or back, and numbers that may be slips of the pen."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

import numpy as np
import pandas as pd

from dashboard.measures.load_change import median
from dashboard.sentences import load as say
from dashboard.sentences.numbers import number
from dashboard.standing.raised import Raised
from dashboard.standing.weekly import Weekly
from etl import tables
from etl.settings import RULES, Rules


@cache
def exercise_names() -> Mapping[str, str]:
    """The trade name of each exercise id."""
    table = tables.exercises()
    return MappingProxyType(dict(zip(table["exercise_id"], table["name"], strict=True)))


def entry_flags(w: Weekly, points: pd.DataFrame, rules: Rules = RULES) -> list[Raised]:
    """first_exposure and check_entry, of every complete week."""
    return [f for f in (*_first(w, rules), *_entries(w, points, rules)) if f.line < w.log.complete]


def _first(w: Weekly, rules: Rules) -> list[Raised]:
    """Exercises with more than three hard sets in a week after eight weeks without one; one message for all of a week."""
    known = w.log.sets[w.log.sets["exercise"].notna()]
    weekly = known.groupby(["exercise", "line"])["hard"].sum()
    names, new = exercise_names(), {}
    for exercise, sets in weekly.groupby(level=0):
        lines = sets.index.get_level_values("line").to_numpy()
        since = np.diff(lines, prepend=-rules.first_weeks - 1)
        for line, gap, hard in zip(lines, since, sets.to_numpy(), strict=True):
            if line >= rules.first_weeks and gap > rules.first_weeks and hard > rules.first_sets:
                new.setdefault(int(line), []).append((exercise, float(hard)))
    return [Raised(line, "first_exposure", exercise, "note", say.first_exposure([names[e] for e, _ in found]), {"hard_sets": hard})
            for line, found in new.items() for exercise, hard in found]


def _entries(w: Weekly, points: pd.DataFrame, rules: Rules) -> list[Raised]:
    names = exercise_names()
    estimates = points[points["measure"].isin(["e1rm", "per_kg"]) & points["counted"]][["exercise", "day", "value"]]
    sets = w.log.sets[w.log.sets["exercise"].notna() & (w.log.sets["kind"] != "warm_up") & (w.log.sets["load_kg"] > 0)]
    loads = sets.groupby(["exercise", "day"], as_index=False)["load_kg"].max().rename(columns={"load_kg": "value"})
    odd = [*_odd_loads(loads, rules), *_odd_estimates(estimates, rules)]
    found = {(exercise, line): (what, numbers) for exercise, day, what, numbers in reversed(odd)
             for line in [int((day - w.log.mondays[0]) // 7)]}
    return [Raised(line, "check_entry", exercise, "note", say.check_entry(names[exercise], what), numbers)
            for (exercise, line), (what, numbers) in found.items()]


def _odd_loads(table: pd.DataFrame, rules: Rules) -> list[tuple]:
    """(exercise, day, what is odd, numbers) of each session whose top load is the usual one of eight weeks in the other unit."""
    table, recent = _with_recent(table, rules)
    load, usual = table["value"].to_numpy(float), median(recent)
    with np.errstate(invalid="ignore"):
        odd = np.any([np.abs(load / usual / factor - 1) <= rules.entry_units_near for factor in rules.entry_units], axis=0)
    return [(table["exercise"].iat[i], table["day"].iat[i],
             f"{number(load[i])} kg is {number(load[i] / usual[i], 2)} times the usual {number(usual[i])} kg, as if pounds and kilograms were mixed up",
             {"load_kg": load[i], "usual_kg": usual[i]}) for i in np.flatnonzero(odd)]


def _odd_estimates(table: pd.DataFrame, rules: Rules) -> list[tuple]:
    """(exercise, day, what is odd, numbers) of each estimate far above the best of the eight weeks before it."""
    table, recent = _with_recent(table, rules)
    value, best = table["value"].to_numpy(float), np.fmax.reduce(recent, axis=1, initial=np.nan)
    odd = value > best * (1 + rules.entry_pct / 100)
    return [(table["exercise"].iat[i], table["day"].iat[i],
             f"the estimated maximum is {number(100 * (value[i] / best[i] - 1), 0)} % above the best of eight weeks",
             {"value": value[i], "best": best[i]}) for i in np.flatnonzero(odd)]


def _with_recent(table: pd.DataFrame, rules: Rules) -> tuple[pd.DataFrame, np.ndarray]:
    """The sessions by exercise and day, and the values of the same exercise in the eight weeks before each, (n, most of them), NaN beyond."""
    table = table.sort_values(["exercise", "day"], kind="stable")
    exercise, day, value = pd.factorize(table["exercise"])[0], table["day"].to_numpy(), table["value"].to_numpy(float)
    columns = []
    for back in range(1, len(table)):
        ago, same = day[back:] - day[:-back], exercise[back:] == exercise[:-back]
        near = same & (ago <= 7 * rules.usual_weeks)
        if not near.any():
            break
        columns.append(np.r_[np.full(back, np.nan), np.where(near & (ago > 0), value[:-back], np.nan)])
    return table, np.stack(columns, axis=1) if columns else np.full((len(table), 1), np.nan)
