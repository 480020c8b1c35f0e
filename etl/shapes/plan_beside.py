"""A plan in a column of its own beside rows that say what was done: its sets as rows of their own, behind the row that names them.

Which of them were done, and so are no planned sets, `etl/normalise/plan_beside.py` tells: it knows which rows are of one exercise and day.
"""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from etl import notation
from etl.columns import MODIFIER_FIELDS, Column
from etl.columns.plan_done import BESIDE
from etl.notation.blanks import by_distinct
from etl.shapes.efforts import expanded

OF_PLAN = "of_plan"  # helper column: "1" in the rows that the plan has put in
# What a planned set shares with the row that names it: whose, when and of what. Its amounts are the plan's own.
SHARED = ("athlete", "date", "year", "weekday", "session", "exercise", "exercise_id", "modifiers", *MODIFIER_FIELDS, "unit", "plan", "origin")
SHOWN = 40  # [D] characters of a cell that a sentence repeats


def with_planned(cells: pd.DataFrame, trouble: pd.Series, columns: Sequence[Column]) -> tuple[pd.DataFrame, pd.Series, list[str]]:
    """The rows with those of the plan behind the row whose cell names them, marked in OF_PLAN; their trouble; and what is to be said.

    cells: one row per set, with the plan in `plan`. A plan that is no number of sets and repetitions stays in the note of its row.
    """
    column = next((c for c in columns if c.field == "plan" and c.unit == BESIDE), None)
    if column is None or "plan" not in cells:
        return cells, trouble, []
    said = ~notation.is_blank(cells["plan"]) & ~cells["origin"].duplicated() & (cells["plan"].str.strip() != column.header)
    is_short = said & by_distinct(cells["plan"], lambda cell: isinstance(notation.shorthand(cell), list), "bool")
    named = cells.loc[is_short, [name for name in SHARED if name in cells]]
    planned, wrong = expanded(named.assign(reps=named["plan"]).reset_index(drop=True), None, {})
    left = said & ~(is_short & ~cells["origin"].isin(planned["origin"][wrong != ""]))
    planned = planned[~planned["origin"].isin(cells["origin"][left])].assign(**{OF_PLAN: "1"})
    cells, notes = _noted(cells, left, column.header)
    both = pd.concat([cells.assign(**{OF_PLAN: ""}), planned], ignore_index=True)
    both = both.assign(trouble=pd.concat([trouble, pd.Series("", index=planned.index, dtype="str")], ignore_index=True))
    both = both.sort_values("origin", kind="stable").reset_index(drop=True)
    text = both.columns.difference(["origin"])
    both[text] = both[text].fillna("").astype("str")
    return both.drop(columns="trouble"), both["trouble"], notes


def _noted(cells: pd.DataFrame, left: pd.Series, header: str) -> tuple[pd.DataFrame, list[str]]:
    """The cells with the plans that cannot be counted in the note, and a sentence about them."""
    if not left.any():
        return cells, []
    note = cells["note"].str.strip() if "note" in cells else pd.Series("", index=cells.index, dtype="str")
    plan = f"{header}: " + cells["plan"].str.strip()
    cells = cells.assign(note=note.mask(left, plan.where(note == "", note + "; " + plan)))
    count, first = int(left.sum()), cells.loc[left, "plan"].iloc[0].strip()[:SHOWN]
    return cells, [f'{count} {"cell" if count == 1 else "cells"} of "{header}", such as "{first}", {"names" if count == 1 else "name"} no number of sets and repetitions: kept in the note']
