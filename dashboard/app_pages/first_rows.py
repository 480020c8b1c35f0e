"""The first rows of files that are coming in, as they were written and as they were understood, side by side."""

from __future__ import annotations

import pandas as pd

from dashboard.queries.words import called
from dashboard.sentences.decimal_mark import told
from dashboard.sentences.numbers import UNKNOWN, day, number
from dashboard.sentences.units import BODY_WEIGHT, KG, LB, as_written
from etl.importing import Preview, Understood

ROWS, FILES, SETS = 5, 3, 6
WORK = "reps or seconds"
OF_THE_DAY = "values of the day, no set"


def first_rows(preview: Preview) -> pd.DataFrame:
    """Columns of words: file (where there are several), row, its filled cells as written, and what it became.

    A row that is set aside says why; of a row that became several sets the first few stand, one below the other.
    """
    files = preview.files[:FILES]
    found = pd.DataFrame([{"file": file.name} | line for file in files for line in _lines(file)])
    if len(preview.files) == 1:
        found = found.drop(columns="file", errors="ignore")
    return found


def _lines(file: Understood) -> list[dict[str, str]]:
    shown = file.table.line_no[:ROWS].tolist()
    sets = file.sets_of(shown).groupby("source_row")
    aside = dict(zip(file.normal.set_aside["row"], file.normal.set_aside["reason"], strict=True))
    lines = []
    for position, row in enumerate(shown):
        written = {"row": str(row), "as written": " | ".join(filter(None, file.table.rows.iloc[position]))}
        if row in sets.groups:
            became = [_set(one) for one in sets.get_group(row).head(SETS).itertuples()]
            # What is written stands once, however many sets it became.
            lines += [(written if not place else dict.fromkeys(written, "")) | one for place, one in enumerate(became)]
        else:
            lines.append(written | _no_set(f"set aside: {told(aside[row])}" if row in aside else OF_THE_DAY))
    return lines


def _set(one) -> dict[str, str]:
    exercise = called(None if pd.isna(one.exercise) else one.exercise)
    side = "" if one.side == "both" else f", {one.side}"
    return {"date": day(one.date), "exercise": f"{exercise}{side}", "load": _load(one.load_kg), WORK: _work(one)}


def _no_set(words: str) -> dict[str, str]:
    return {"date": UNKNOWN, "exercise": words, "load": UNKNOWN, WORK: UNKNOWN}


def _load(kg: float) -> str:
    """A load in kg, with what was written beside it where that was pounds; body weight in words."""
    if pd.notna(kg) and kg == 0:
        return BODY_WEIGHT
    written = "" if pd.isna(kg) else as_written(kg)
    return _with_unit(kg, KG) + (f" ({written})" if written.endswith(LB) else "")


def _work(one) -> str:
    """Repetitions or seconds, each with its unit."""
    return _with_unit(one.hold_s, "s") if pd.notna(one.hold_s) else _with_unit(one.reps, "reps")


def _with_unit(value: float, unit: str) -> str:
    return UNKNOWN if pd.isna(value) else f"{number(value)} {unit}"
