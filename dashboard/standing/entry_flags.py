"""Notes: exercises that are new or back, and numbers that may be slips of the pen."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType

import numpy as np
import pandas as pd

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
    odd = [*_each(loads, _odd_load, rules), *_each(estimates, _odd_estimate, rules)]
    found = {(exercise, line): (what, numbers) for exercise, day, what, numbers in reversed(odd)
             for line in [int((day - w.log.mondays[0]) // 7)]}
    return [Raised(line, "check_entry", exercise, "note", say.check_entry(names[exercise], what), numbers)
            for (exercise, line), (what, numbers) in found.items()]


def _each(table: pd.DataFrame, judge: Callable, rules: Rules) -> list[tuple]:
    """(exercise, day, what is odd, numbers) of each session whose value is odd against the eight weeks before it."""
    found = []
    for exercise, own in table.groupby("exercise"):
        day, value = own["day"].to_numpy(), own["value"].to_numpy(float)
        for i in range(1, len(own)):
            recent = value[(day >= day[i] - 7 * rules.usual_weeks) & (day < day[i])]
            what = judge(value[i], recent, rules) if len(recent) else None
            if what:
                found.append((exercise, day[i], *what))
    return found


def _odd_load(load: float, recent: np.ndarray, rules: Rules) -> tuple[str, dict] | None:
    """A session's top load that is the usual one in the other unit."""
    usual = float(np.median(recent))
    for factor in rules.entry_units:
        if abs(load / usual / factor - 1) <= rules.entry_units_near:
            what = f"{number(load)} kg is {number(load / usual, 2)} times the usual {number(usual)} kg, as if pounds and kilograms were mixed up"
            return what, {"load_kg": load, "usual_kg": usual}
    return None


def _odd_estimate(value: float, recent: np.ndarray, rules: Rules) -> tuple[str, dict] | None:
    """An estimate far above the best of eight weeks."""
    best = recent.max()
    if value <= best * (1 + rules.entry_pct / 100):
        return None
    return f"the estimated maximum is {number(100 * (value / best - 1), 0)} % above the best of eight weeks", {"value": value, "best": best}
