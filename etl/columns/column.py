"""What a column of a file is taken for."""

from __future__ import annotations

from dataclasses import dataclass

MODIFIER_FIELDS = ("grip", "stance", "equipment")  # each becomes `field=value` among a set's modifiers
DAY_FIELDS = ("body_mass", "session_rpe", "minutes", "pain_place", "pain_score")  # may stand without an exercise
FIELDS = (
    "athlete", "date", "time", "session", "exercise", "set_no", "round_no", "segment_no", "kind", "side", "range", "reps",
    "load", "unit", "hold", "rpe", "rir", "limited_by", "pain_place", "pain_score", "body_mass", "session_rpe", "minutes",
    "rest", "tempo", "note", "planned", "modifiers", *MODIFIER_FIELDS,
)


@dataclass(frozen=True)
class Column:
    """One column of a file.

    position: from 0. header: as written. field: one of FIELDS, or None for a column that is not read.
    unit: that of its bare numbers, "" | kg | lb | s | min; "not" for a `planned` column that says what was done.
    confidence: 0-1. reason: a sentence for the user.
    """

    position: int
    header: str
    field: str | None
    unit: str
    confidence: float
    reason: str
