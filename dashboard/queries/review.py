"""The weekly review and the flags as plain objects, for `--json` and for the words on the command line."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pandas as pd

from dashboard.queries import balance, load, onsets, strength, week
from dashboard.queries.imports import aside_of
from dashboard.queries.kept import Store, rows
from dashboard.queries.people import equation

FLAG_KEYS = ("athlete", "kind", "subject", "week", "until", "level", "numbers", "message")
HEAD_KEYS = ("head", "dose", "low", "high", "direct_sets", "usual")
PART_KEYS = ("part", "dose", "low", "high", "direct_sets", "usual", "band_low", "band_high", "status", "in_focus")
MUSCLE_KEYS = ("muscle", "dose", "low", "high", "effective_heads", "heads", "not_distinguishable")
EXERCISE_KEYS = ("exercise", "measure", "e1rm_kg", "low_kg", "high_kg", "value", "value_low", "value_high", "rate_pct_week", "rate_low",
                 "rate_high", "verdict", "reason", "sessions", "best_value", "best_since")
POOLED_KEYS = ("part", "measure", "rate_pct_week", "rate_low", "rate_high", "verdict", "reason", "exercises", "sessions")
LOAD_KEYS = ("acute_chronic_uncoupled", "acute_chronic_coupled", "acute_chronic_smoothed", "session_rpe_load", "sessions_with_load",
             "sessions_without_load", "monotony", "monotony_most", "strain")
DONE = {"sessions": "sessions", "hard_sets": "hard_sets", "repetitions": "repetitions", "tonnage_kg": "tonnage_kg", "hold_s": "hold_s",
        "planned": "planned_sets", "usual_hard_sets": "usual_hard_sets", "effort_logged_share": "effort_logged_share", "mean_rir": "mean_rir",
        "unmatched_sets": "unmatched_sets", "deload": "deload"}
ALL_FLAGS = """
select * from kept_flags where ? is null or athlete = ?
order by athlete, week, case level when 'alert' then 0 when 'review' then 1 else 2 end, kind, subject
"""


def review(store: Store, athlete: str, monday: date) -> dict[str, Any]:
    """One athlete's week: what the command line's contract names, parts' pooled verdicts before the exercises'."""
    row, following = week.done(store, athlete, monday), week.following(store, athlete, monday)
    pooled = _records(strength.parts(store, athlete, monday), POOLED_KEYS)
    single = _records(strength.exercises(store, athlete, monday), EXERCISE_KEYS)
    return {
        "athlete": athlete, "week": monday.isoformat(), "level": week.level(store, athlete)[0], "equation": equation(store, athlete), "so_far": plain(row["so_far"]),
        "done": {name: plain(row[column]) for name, column in DONE.items()},
        "strength": _with_onsets(pooled + single, onsets.as_objects(onsets.onsets(store, athlete, monday))),
        "heads": _records(balance.heads(store, athlete, monday), HEAD_KEYS),
        "parts": _records(balance.parts(store, athlete, monday), PART_KEYS),
        "muscles": _records(_with_pairs(balance.muscles(store, athlete, monday)), MUSCLE_KEYS),
        "coverage": plain(row["coverage"]), "covered_parts": plain(row["covered"]), "focus_parts": plain(row["focus_parts"]),
        "weakest_part": plain(row["weakest_part"]), "weakest_not_distinguishable": row["weakest_not_distinguishable"], "message": row["message"] or "",
        "marked": load.marked_as(store, athlete, monday), "not_judged": week.easy(store, athlete, monday), "load_columns": _load_columns(store, athlete, monday),
        "flags": _records(week.flags(store, athlete, monday), FLAG_KEYS),
        "rows_set_aside": aside_of(store, athlete), "cautions": week.cautions(store, athlete, monday),
        "next": _records(following, ("subject", "action", "reason")), "next_from": plain(following["week"].iloc[0]) if len(following) else None,
    }


def _with_onsets(told: list[dict[str, Any]], began: dict[str, dict[str, Any]]) -> list[dict[str, Any]]:
    return [one | {"onset": began.get(one.get("part") or one["exercise"])} for one in told]


def _load_columns(store: Store, athlete: str, monday: date) -> dict[str, Any]:
    """Numbers that raise nothing, by name; None where they are not defined."""
    (found,) = _records(load.columns(store, athlete, monday, 1), LOAD_KEYS)
    return found


def _with_pairs(muscles: pd.DataFrame) -> pd.DataFrame:
    return muscles.assign(not_distinguishable=muscles["not_distinguishable"].map(json.loads).astype(object))


def flags(store: Store, athlete: str | None) -> list[dict[str, Any]]:
    """Each flag that the log would have raised, one per episode, oldest first."""
    found = rows(store, ALL_FLAGS, athlete, athlete)
    return _records(found.assign(numbers=found["numbers"].map(json.loads).astype(object)), FLAG_KEYS)


def plain(value: Any) -> Any:
    """A cell for JSON: dates as ISO text, missing as None, whole numbers whole, others rounded to four places."""
    if isinstance(value, dict | list):
        return value
    if value is None or pd.isna(value):
        return None
    if hasattr(value, "date"):
        return value.date().isoformat()
    value = value.item() if hasattr(value, "item") else value
    return round(value, 4) if isinstance(value, float) else value


def _records(table: pd.DataFrame, keys: tuple[str, ...]) -> list[dict[str, Any]]:
    return [{key: plain(row[key]) for key in keys} for row in table[list(keys)].to_dict("records")]
