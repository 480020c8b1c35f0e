"""What a column of a file is taken for."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from etl.refusal import Question

MODIFIER_FIELDS = ("grip", "stance", "equipment")  # each becomes `field=value` among a set's modifiers
DAY_FIELDS = ("body_mass", "session_rpe", "minutes", "pain_place", "pain_score")  # may stand without an exercise
FIELDS = (
    "athlete", "date", "time", "session", "exercise", "set_no", "round_no", "segment_no", "kind", "side", "range", "reps",
    "load", "unit", "hold", "rpe", "rir", "limited_by", "pain_place", "pain_score", "body_mass", "session_rpe", "minutes",
    "rest", "tempo", "note", "planned", "modifiers", *MODIFIER_FIELDS,
    "set_count", "round_count", "year", "weekday", "work", "plan", "done", "assistance", "exercise_id", "kind_source", "load_estimated",
)
# The set log's own names for fields that carry their unit, read as the same.
SYNONYMS = {"load_kg": "load", "hold_s": "hold", "body_mass_kg": "body_mass", "rest_s": "rest", "exercise_as_written": "exercise"}
# What a column of one set, side, round, day or exercise among several alike may hold.
REPEATED_FIELDS = ("reps", "load", "hold", "rpe", "rir", "work", "kind", "rest", "tempo", "side", "range")


@dataclass(frozen=True)
class Column:
    """One column of a file, or what it is taken for.

    position: from 0. header: as written. field: one of FIELDS, or None for a column that is not read. `work` is a cell
    that holds a whole shorthand ("3x10 @ 20 kg"); `set_count` and `round_count` say how many sets or rounds a row stands
    for; `year` is that of a date which leaves it out; `weekday` the day of the week that begins at the date; `plan` is work
    that was planned, and `done` says whether it was done or what was done;
    `assistance` is help that is taken off the load.
    unit: that of its bare numbers, "" | kg | lb | st | s | min; "not" for a `planned` column that says what was done;
    "beside" for a `plan` of which other columns hold what was done, row by row; of a `done` column what its numbers count, "set_count" | "reps", else "work" beside a plan, or "ticks".
    confidence: 0-1. reason: a sentence for the user.
    part: "" for a column that speaks of the whole row; else the set, side, round, day or exercise of the row that it
    speaks of, the same for all columns of it. gives: (field, text) pairs that the header itself says of that part.
    """

    position: int
    header: str
    field: str | None
    unit: str
    confidence: float
    reason: str
    part: str = ""
    gives: tuple[tuple[str, str], ...] = ()


class ColumnQuestion(Question):
    """A question of what a column is. about: the positions of the columns that are in doubt, () where one is missing.

    columns: what all of them are taken for meanwhile, those in doubt as not read; () until `recognise` says it.
    """

    def __init__(self, what: str, where: str, do: str, about: Collection[int] = ()) -> None:
        super().__init__(what, where, do)
        self.about = tuple(about)
        self.columns: tuple[Column, ...] = ()
