"""The set log as columns and types, and what one file becomes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

SET_COLUMNS = {
    "athlete": "str", "date": "datetime64[us]", "time": "str", "session": "str", "exercise": "str",
    "exercise_as_written": "str", "modifiers": "str", "set_no": "float64", "round_no": "float64",
    "segment_no": "float64", "kind": "str", "kind_source": "str", "side": "str", "range": "str", "reps": "float64",
    "load_kg": "float64", "load_estimated": "bool", "hold_s": "float64", "rpe": "float64", "rir": "float64",
    "limited_by": "str", "pain_place": "str", "pain_score": "float64", "body_mass_kg": "float64",
    "session_rpe": "float64", "minutes": "float64", "rest_s": "float64", "tempo": "str", "note": "str",
    "planned": "bool", "source": "str", "source_row": "int64",
}
# Beside the set log, for the stage that knows what an exercise is loaded with; not stored.
HELPERS = {
    "load_basis": "str",  # per_side, per_hand or pair where the cell says what its load is written of
    "work_form": "str",  # clock where the repetitions stand as a full hour or minute, "8:00", as a spreadsheet may make of an 8
}
DAY_COLUMNS = ("athlete", "date", "body_mass_kg", "session_rpe", "minutes", "pain_place", "pain_score", "note",
               "source", "source_row")


@dataclass(frozen=True)
class Normal:
    """One file in the normal form. rows_read = rows_with_sets + rows_with_days + len(set_aside).

    sets: columns SET_COLUMNS and HELPERS, one row per set; `exercise` holds an id only where the file has a column of
    ids, since names are matched later.
    days: columns DAY_COLUMNS, one row per file row that holds a day's body mass, session RPE, minutes or pain alone.
    set_aside: row (physical line), text (the row as in the file), reason. assumed: what was taken for granted.
    """

    sets: pd.DataFrame
    days: pd.DataFrame
    set_aside: pd.DataFrame
    assumed: list[str]
    rows_read: int
    rows_with_sets: int
    rows_with_days: int
    unit_unsaid: bool = False  # kg was taken for loads whose unit nobody said


def typed(values: pd.DataFrame, columns) -> pd.DataFrame:
    """The named columns in their order and types; "" in a text column becomes a missing value."""
    frame = pd.DataFrame({name: values[name] for name in columns})
    for name in columns:
        kind = (SET_COLUMNS | HELPERS)[name]
        column = frame[name].astype(kind)
        frame[name] = column.mask(column == "", np.nan) if kind == "str" else column
    return frame.reset_index(drop=True)
