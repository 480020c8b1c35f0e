"""Heads and muscles as table rows, with units in the headings."""

from __future__ import annotations

import pandas as pd

from dashboard.sentences.numbers import number

LEAST = 0.005  # of the hard sets; less is rounding
GRADES = {"share_a": "A", "share_b": "B", "share_c": "C"}


def head_rows(heads: pd.DataFrame) -> pd.DataFrame:
    """One row per head, numbers as text: hard sets with their range, direct sets, usual, days, shares by grade."""
    return pd.DataFrame([
        {"muscle": row.muscle, "head": row.name_, "hard sets": number(row.dose), "range, sets": f"{number(row.low)} to {number(row.high)}",
         "direct sets": number(row.direct_sets), "usual, sets": number(row.usual), "exercises": number(row.exercises),
         "days": number(row.days), "evidence": _grades(row)}
        for row in heads.rename(columns={"name": "name_"}).itertuples()])


def muscle_rows(muscles: pd.DataFrame) -> pd.DataFrame:
    """One row per muscle that has more than one head: hard sets with their range, the effective number of heads out of how many, and
    the heads whose order depends on the credits (`pairs`, by name)."""
    return pd.DataFrame([
        {"muscle": row.muscle, "hard sets": number(row.dose), "range, sets": f"{number(row.low)} to {number(row.high)}",
         "effective heads": f"{number(row.effective_heads, 2)} of {number(row.heads)}",
         "not distinguishable": "; ".join(f"{a} and {b}" for a, b in row.pairs)}
        for row in muscles[muscles["heads"] > 1].itertuples()])


def _grades(row) -> str:
    shares = {grade: getattr(row, column) for column, grade in GRADES.items()}
    known = [share for share in shares.values() if pd.notna(share)]
    if known:
        shares["yours"] = 1 - sum(known)  # credits that the keeper of the store changed have no grade
    return ", ".join(f"{grade} {number(100 * share, 0)} %" for grade, share in shares.items() if pd.notna(share) and share > LEAST)
