"""What else differed around an onset: plain before and after, and which differences are large enough to be named.

Nothing here says that one thing led to another: the weeks before and after differ in much that no log holds.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from etl.settings import RULES, Rules

HARD_SETS, DAYS, RIR, REPS, MASS, GAP, LOGGED = (
    "hard_sets_a_week", "days_a_week", "mean_rir", "median_reps", "body_mass_kg", "longest_gap_days", "effort_logged_share")


class Change(NamedTuple):
    """One thing, before and after, in the unit that its name says; size: how many times the least that is named."""

    what: str
    before: float
    after: float
    size: float


def limits(before: dict[str, float], rules: Rules = RULES) -> dict[str, float]:
    """The least difference that is named, by what differs, each in its own unit.

    >>> limits({HARD_SETS: 12.0, MASS: 80.0})[HARD_SETS], limits({HARD_SETS: 4.0, MASS: 80.0})[HARD_SETS]
    (3.0, 2.0)
    """
    return {HARD_SETS: max(rules.around_sets, rules.around_sets_share * before.get(HARD_SETS, np.nan)), DAYS: rules.around_days, RIR: rules.around_rir,
            REPS: rules.around_reps, MASS: rules.around_mass_share * before.get(MASS, np.nan), GAP: rules.around_gap_days,
            LOGGED: rules.around_logged_share}


def named(before: dict[str, float], after: dict[str, float], rules: Rules = RULES) -> list[Change]:
    """The differences that reach their limit, at most `rules.around_named`, the largest beside its limit first.

    before, after: the same things by name; what is unknown (nan) on either side is passed over.

    >>> named({DAYS: 2.0, REPS: 5.0}, {DAYS: 1.9, REPS: 10.0})
    [Change(what='median_reps', before=5.0, after=10.0, size=2.5)]
    """
    least = limits(before, rules)
    found = [Change(what, float(was), float(after[what]), float(abs(after[what] - was) / least[what])) for what, was in before.items()]
    # A share may come a rounding short of its limit.
    large = [one for one in found if one.size >= 1 - 1e-9]
    return sorted(large, key=lambda one: -one.size)[: rules.around_named]
