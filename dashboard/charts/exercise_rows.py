"""Exercises as table rows: the present value with its interval, the verdict and the rate."""

from __future__ import annotations

from typing import Any

import pandas as pd

from dashboard.charts.rates import WORDS, rate_in_words
from dashboard.charts.strength import PLACES, UNITS
from dashboard.sentences.balance import side_interval, values_are
from dashboard.sentences.numbers import measured, number

SHORT_UNITS = UNITS | {"per_kg": "kg per kg", "hold": "s", "reps": "reps"}


def exercise_rows(exercises: pd.DataFrame) -> pd.DataFrame:
    """exercise, now (value, interval, unit), verdict with the change a week: all of it text."""
    named = exercises.rename(columns={"name": "name_"})
    return pd.DataFrame([
        {"exercise": row.name_, "now, with 80 % interval": _now(row), 
         "verdict": ", ".join(filter(None, [WORDS.get(row.verdict, row.verdict), rate_in_words(row)]))}
        for row in named.itertuples()], columns=["exercise", "now, with 80 % interval", "verdict"])


def _now(row) -> str:
    if pd.isna(row.value):
        return number(None)
    places = PLACES[row.measure]
    interval = f" ({measured(row.value_low, places)} to {measured(row.value_high, places)})" if pd.notna(row.value_low) else ""
    return f"{measured(row.value, places)} {SHORT_UNITS[row.measure]}{interval}"


def side_rows(sides: pd.DataFrame) -> pd.DataFrame:
    """exercise, left and right with their unit, difference with its interval: all of it text."""
    return pd.DataFrame([
        {"exercise": row.name_, "left, right": f"{number(row.left_value)}, {number(row.right_value)} {values_are(row)}", "difference, with 80 % interval": _difference(row)}
        for row in sides.rename(columns={"name": "name_"}).itertuples()])


def _difference(row: Any) -> str:
    interval = side_interval(row.difference_low_pct, row.difference_high_pct)
    return (f"{number(abs(row.difference_pct), 0)} %" + (f" ({interval})" if interval else "")
            + (f", {row.weaker} weaker" if row.weaker and row.difference_pct else ""))
