"""Notes: exercises that are new or back, and numbers that may be slips of the pen."""

from __future__ import annotations

from collections.abc import Mapping
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
    names, found = exercise_names(), {}
    for exercise, own in points[(points["measure"] == "e1rm") & points["counted"]].groupby("exercise"):
        day, value, load = own["day"].to_numpy(), own["value"].to_numpy(float), own["load_kg"].to_numpy(float)
        for i in range(1, len(own)):
            recent = (day >= day[i] - 7 * rules.usual_weeks) & (day < day[i])
            if not recent.any():
                continue
            what = _odd(value[i], value[recent].max(), load[i], float(np.median(load[recent])), rules)
            if what:
                line = int(own["line"].to_numpy()[i])
                found[exercise, line] = Raised(line, "check_entry", exercise, "note", say.check_entry(names[exercise], what),
                                               {"e1rm_kg": value[i], "best_kg": value[recent].max(), "load_kg": load[i]})
    return list(found.values())


def _odd(value: float, best: float, load: float, usual: float, rules: Rules) -> str:
    """What is odd about a session's best, or nothing."""
    ratio = load / usual if usual > 0 else np.nan
    for factor in rules.entry_units:
        if abs(ratio / factor - 1) <= rules.entry_units_near:
            return f"{number(load)} kg is {number(ratio, 2)} times the usual {number(usual)} kg, as if pounds and kilograms were mixed up"
    if value > best * (1 + rules.entry_pct / 100):
        return f"the estimated maximum, {number(value)} kg, is {number(100 * (value / best - 1), 0)} % above the best of eight weeks"
    return ""
