"""What was planned of a week's load: by the plan in the log, or because a person has marked the week.

The store has a planned set only where it was not done, or where the log lists its plan in rows of its own beside those of what was done;
of a plan that was done as written nothing is left but the sets. So the planned rows never hold more than the plan, and a week whose
planned rows hold about what was done was planned.
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from dashboard.measures import dose
from dashboard.standing.body import body
from dashboard.standing.log import left_out, with_facts
from dashboard.standing.weekly import Weekly, counted_of
from etl.settings import RULES, Rules

NO_MASS = pd.DataFrame({"athlete": pd.Series(dtype="str"), "day": pd.Series(dtype=int), "body_mass_kg": pd.Series(dtype=float)})  # hard sets do not depend on it


def planned_load(w: Weekly, rules: Rules = RULES) -> np.ndarray:
    """Hard sets of the planned rows, counted like those that were done, (weeks, parts + 1), the whole body last."""
    rows, load = w.log.planned, np.zeros((w.log.weeks, len(body().parts) + 1))
    if rows.empty:
        return load
    here = rows["line"].between(0, w.log.weeks - 1) & ~left_out(rows)
    if not here.any():
        return load
    sets, kinds = with_facts(rows[here].reset_index(drop=True), NO_MASS, np.full(int(here.sum()), w.log.beginner), rules)
    line, hard = sets["line"].to_numpy(), sets["hard"].to_numpy()
    _, of_parts, _ = counted_of(kinds, rules)
    load[:, :-1] = dose.per_week(hard, sets["kind_no"], line, of_parts.now, w.log.weeks)
    load[:, -1] = np.bincount(line, hard, w.log.weeks)
    return load


def as_planned(w: Weekly, load: np.ndarray, rules: Rules = RULES) -> np.ndarray:
    """Where a week's load was planned, (weeks, parts + 1): the week is marked as a planned increase, or its load is at most
    1.1 times that of its planned rows.
    """
    by_log = (load > 0) & (load <= rules.planned_share * planned_load(w, rules))
    return by_log | w.log.marked_as("planned_increase")[:, None]
