"""Cases of the calibration as table rows: the figure with its interval, the target, whether it is reached."""

from __future__ import annotations

import pandas as pd

from dashboard.sentences.numbers import number

REACHED = {"yes": "reached", "no": "not reached"}


def case_rows(cases: pd.DataFrame) -> pd.DataFrame:
    """what, figure (with its interval and unit), target and whether it is reached, the same of other athletes: all of it text."""
    rows = pd.DataFrame([
        {"what": row.what, "figure (interval)": f"{_span(row)}{_unit(row.unit)}", "target": ", ".join(filter(None, [row.target, REACHED.get(row.met)])) or "–",
         "other athletes": ", ".join(filter(None, [number(row.other_value, 2), REACHED.get(row.other_met)]))}
        for row in cases.itertuples()], columns=["what", "figure (interval)", "target", "other athletes"])
    return rows if cases["other_value"].notna().any() else rows.drop(columns="other athletes")


def asides(cases: pd.DataFrame) -> list[str]:
    """What is said beside the figures: the bound that information sets, and notes; one sentence a case."""
    return [f"{row.what}: {'; '.join(said)}." for row in cases.itertuples() if (said := _beside(row))]


def _span(row) -> str:
    figure = number(row.value, 2)
    return f"{figure} ({number(row.low, 2)} to {number(row.high, 2)})" if pd.notna(row.low) and pd.notna(row.high) else figure


def _unit(unit: str) -> str:
    return f" {unit}" if unit else ""


def _beside(row) -> list[str]:
    bound = f"the bound is {number(row.bound, 2)}" + (f" ({row.bound_is})" if row.bound_is else "") if pd.notna(row.bound) else ""
    return [text for text in (bound, row.note.rstrip(".")) if text]
