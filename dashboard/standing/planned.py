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

PLAN_WEEKS = 12  # [D] weeks by which it is told how a log writes its plan
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


def planned_sets(w: Weekly, rules: Rules = RULES) -> np.ndarray:
    """Sets that were planned of each week, (weeks,); NaN where the log has no plan of it.

    A plan with rows of its own is all there; of one that stands beside what was done only the sets left out are stored, so what was done belongs to it
    too. Which of the two it is, is told by the twelve weeks up to each one: by how many of the planned sets were done as well.
    """
    plan, n = w.log.planned, w.log.weeks
    plan = plan[plan["line"].between(0, n - 1)] if len(plan) else plan
    if plan.empty:
        return np.full(n, np.nan)
    done = set(_keys(w.log.sets))
    line, too = plan["line"].to_numpy(int), np.array([key in done for key in _keys(plan)], float)
    count, done_too = (np.bincount(line, weights, n) for weights in (np.ones(len(line)), too))
    share = _lately(done_too) / np.maximum(_lately(count), 1)
    return np.where(count > 0, count + np.where(share < rules.plan_rows_share, w.whole, 0), np.nan)


def _keys(rows: pd.DataFrame) -> list[tuple]:
    """What tells a set of a day from others, planned or done."""
    return list(zip(rows["day"].tolist(), rows["exercise_as_written"].tolist(), rows["set_no"].fillna(0).tolist(), strict=True))


def _lately(values: np.ndarray) -> np.ndarray:
    """Sums over the PLAN_WEEKS weeks up to each one, (weeks,)."""
    sums = np.cumsum(np.r_[0, values])
    return sums[1:] - sums[np.maximum(np.arange(1, len(sums)) - PLAN_WEEKS, 0)]


def as_planned(w: Weekly, load: np.ndarray, rules: Rules = RULES) -> np.ndarray:
    """Where a week's load was planned, (weeks, parts + 1): the week is marked as a planned increase, or its load is at most
    1.1 times that of its planned rows.
    """
    by_log = (load > 0) & (load <= rules.planned_share * planned_load(w, rules))
    return by_log | w.log.marked_as("planned_increase")[:, None]
