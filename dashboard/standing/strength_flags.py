"""Flags about strength: plateau and declining, of exercises and of parts that pool several exercises."""

from __future__ import annotations

from dashboard.standing.body import body
from dashboard.standing.entry_flags import exercise_names
from dashboard.standing.raised import Raised
from dashboard.standing.strength import Strength

RAISING = ("plateau", "declining")


def strength_flags(found: Strength, complete: int) -> list[Raised]:
    """One flag per week, and exercise or part, whose verdict is plateau or declining."""
    names, words = exercise_names(), dict(zip(body().parts["part_id"], body().parts["coach_word"], strict=True))
    raised = [_flag(row, row.exercise, names[row.exercise]) for row in found.exercises.itertuples() if row.verdict in RAISING]
    raised += [_flag(row, row.part, words[row.part]) for row in found.parts.itertuples() if row.verdict in RAISING and row.exercises > 1]
    return [r for r in raised if r.line < complete]


def _flag(row: object, subject: str, name: str) -> Raised:
    numbers = {"rate_pct_week": row.slope, "rate_low": row.low, "rate_high": row.high, "sessions": row.sessions,
               "cannot_rule_out_pct_week": row.upper_80_one_sided}
    return Raised(int(row.line), row.verdict, subject, "review", f"{name[0].upper() + name[1:]}: {row.verdict}. {row.reason}", numbers)
