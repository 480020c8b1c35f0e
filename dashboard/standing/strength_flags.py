"""Flags about strength: plateau and declining, of exercises and of parts that pool several exercises."""

from __future__ import annotations

from collections.abc import Iterable

import pandas as pd

from dashboard.standing.body import part_ids, part_words
from dashboard.standing.entry_flags import exercise_names
from dashboard.standing.raised import Raised
from dashboard.standing.strength import Strength

RAISING = ("plateau", "declining")


def strength_flags(found: Strength, complete: int) -> list[Raised]:
    """One flag per week, and exercise or part, whose verdict is plateau or declining."""
    names, words = exercise_names(), dict(zip(part_ids(), part_words(), strict=True))
    raised = [_flag(row, row.exercise, names[row.exercise]) for row in _raising(found.exercises, complete)]
    return raised + [_flag(row, row.part, words[row.part]) for row in _raising(found.parts, complete) if row.exercises > 1]


def _raising(table: pd.DataFrame, complete: int) -> Iterable:
    """The rows of complete weeks whose verdict raises a flag."""
    return table[table["verdict"].isin(RAISING) & (table["line"] < complete)].itertuples() if len(table) else ()


def _flag(row: object, subject: str, name: str) -> Raised:
    numbers = {"rate_pct_week": row.slope, "rate_low": row.low, "rate_high": row.high, "sessions": row.sessions,
               "cannot_rule_out_pct_week": row.upper_80_one_sided}
    return Raised(int(row.line), row.verdict, subject, "review", f"{name[0].upper() + name[1:]}: {row.verdict}. {row.reason}", numbers)
