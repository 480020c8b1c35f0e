"""What stands in an export: each table's columns with their types and meaning.

Types, constraints and keys are those of the Table Schema specification (Frictionless, https://datapackage.org/standard/table-schema/).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from etl.store.corrected import KINDS, RANGES, SIDES
from etl.store.marked_weeks import MARKS
from etl.store.said import MEASURES, NOTE_KINDS


@dataclass(frozen=True)
class Field:
    """One column. kind: a Table Schema type. rules: constraints of the specification."""

    name: str
    kind: str
    text: str
    rules: dict[str, Any] | None = None

    def described(self) -> dict[str, Any]:
        found = {"name": self.name, "type": self.kind, "description": self.text}
        return found | ({"constraints": self.rules} if self.rules else {})


def _must(**rules: Any) -> dict[str, Any]:
    return {"required": True} | rules


SETS = (
    Field("athlete", "string", "Whose set it is.", _must()),
    Field("date", "date", "Day on which it was done, or is planned.", _must()),
    Field("time", "string", "Time of day, where it is known."),
    Field("session", "string", "Name of the session; the date where the log says nothing."),
    Field("exercise", "string", "Id in exercises.csv; empty while no exercise is known for the name."),
    Field("exercise_as_written", "string", "The exercise as the log names it.", _must()),
    Field("modifiers", "string", "Grip, stance and the like, as key=value pairs with ; between them."),
    Field("set_no", "integer", "Number of the set."),
    Field("round_no", "integer", "Number of the round."),
    Field("segment_no", "integer", "Number of the part of a set that has several."),
    Field("kind", "string", "What sort of set it is.", _must(enum=list(KINDS))),
    Field("kind_source", "string", "Whether the log says the kind or it is assumed.", _must(enum=["logged", "assumed"])),
    Field("side", "string", "Which side worked.", _must(enum=list(SIDES))),
    Field("range", "string", "Range of motion.", _must(enum=list(RANGES))),
    Field("reps", "number", "Repetitions.", {"minimum": 0}),
    Field("load_kg", "number", "Load as written, in kilograms; negative for assistance."),
    Field("load_estimated", "boolean", "True where the load was guessed."),
    Field("hold_s", "number", "Time held, in seconds.", {"minimum": 0}),
    Field("rpe", "number", "Rating of perceived exertion, 0 to 10.", {"minimum": 0, "maximum": 10}),
    Field("rir", "number", "Repetitions in reserve.", {"minimum": 0}),
    Field("limited_by", "string", "What ended the set."),
    Field("pain_place", "string", "Where it hurt."),
    Field("pain_score", "number", "Pain, 0 to 10.", {"minimum": 0, "maximum": 10}),
    Field("body_mass_kg", "number", "Body mass, in kilograms."),
    Field("session_rpe", "number", "Exertion of the whole session, 0 to 10."),
    Field("minutes", "number", "Length of the session, in minutes."),
    Field("rest_s", "number", "Rest, in seconds."),
    Field("tempo", "string", "Tempo as written."),
    Field("note", "string", "Note as written."),
    Field("planned", "boolean", "True for a planned set that has not been done.", _must()),
    Field("source", "string", "Name of the file it comes from, # and the first digits of the file's SHA-256.", _must()),
    Field("source_row", "integer", "Line of that file.", _must()),
)
DAYS = (
    Field("athlete", "string", "Whose day it is.", _must()),
    Field("date", "date", "The day.", _must()),
    *(f for f in SETS if f.name in ("body_mass_kg", "session_rpe", "minutes", "pain_place", "pain_score")),
    Field("note", "string", "Note as written."),
    *(f for f in SETS if f.name in ("source", "source_row")),
)
WEEK = (
    Field("athlete", "string", "Whose week it is.", _must()),
    Field("week", "date", "Monday of the week.", _must()),
)
WEEKLY_HEADS = (
    *WEEK,
    Field("head", "string", "Head of a muscle.", _must()),
    Field("part", "string", "Part of the body that can be trained apart."),
    Field("muscle", "string", "Muscle."),
    Field("dose", "number", "Hard sets, each weighted by its credit for the head."),
    Field("low", "number", "The dose with every credit one tier lower."),
    Field("high", "number", "The dose with every credit one tier higher."),
    Field("direct_sets", "number", "Hard sets with full credit."),
    Field("usual", "number", "The usual dose of the weeks before; empty while there is none."),
    Field("exercises", "integer", "Different exercises that trained it."),
    Field("days", "integer", "Days on which it was trained."),
)
WEEKLY_STRENGTH = (
    *WEEK,
    Field("exercise", "string", "Id in exercises.csv.", _must()),
    Field("measure", "string", "What is measured: the estimated one-repetition maximum, repetitions, or seconds."),
    Field("series", "string", "Which series of sets it is measured on."),
    Field("e1rm_kg", "number", "Estimated one-repetition maximum, in kilograms."),
    Field("low_kg", "number", "Low end of its 80 % interval."),
    Field("high_kg", "number", "High end of its 80 % interval."),
    Field("value", "number", "The measure's value, in its own unit."),
    Field("value_low", "number", "Low end of its 80 % interval."),
    Field("value_high", "number", "High end of its 80 % interval."),
    Field("rate_pct_week", "number", "Trend, in per cent a week."),
    Field("rate_low", "number", "Low end of its 80 % interval."),
    Field("rate_high", "number", "High end of its 80 % interval."),
    Field("verdict", "string", "What the trend says."),
    Field("reason", "string", "Why."),
    Field("sessions", "integer", "Sessions that it rests on."),
)
MARKED_WEEKS = (
    *WEEK,
    Field("mark", "string", "What a person has marked the week as.", _must(enum=list(MARKS))),
    Field("said_on", "date", "Day on which it was marked.", _must()),
)
ABOUT = Field("subject", "string", "Exercise or part that it is about; empty for the day or the whole body.")


def _record(what: str, who: str) -> tuple[Field, Field]:
    """What each record that a person said begins with."""
    return Field(f"{what}_id", "integer", f"Number of the {what}.", _must(unique=True)), Field("athlete", "string", who, _must())


NOTES = (
    *_record("note", "Who it is about."),
    Field("date", "date", "Its day.", _must()),
    Field("kind", "string", "A note, pain, or soreness.", _must(enum=list(NOTE_KINDS))),
    ABOUT,
    Field("text", "string", "In words."),
    Field("place", "string", "Where the pain or soreness is."),
    Field("score", "number", "How bad it is, 0 to 10.", {"minimum": 0, "maximum": 10}),
    Field("private", "boolean", "Never shown to a client.", _must()),
)
GOALS = (
    *_record("goal", "Whose it is."),
    Field("text", "string", "The goal in words.", _must()),
    Field("due", "date", "By when.", _must()),
    ABOUT,
    Field("measure", "string", "What the number is of: e1rm or load (lifted in a work set) in kilograms, reps, or hold in seconds.", {"enum": list(MEASURES)}),
    Field("target", "number", "The number to be reached."),
    Field("reached_on", "date", "Day on which it was reached."),
)
BLOCKS = (
    *_record("block", "Whose it is."),
    Field("aim", "string", "What it is for.", _must()),
    Field("starts", "date", "Its first day.", _must()),
    Field("ends", "date", "Its last day.", _must()),
    Field("deload_due", "date", "Monday of the week in which a deload is due."),
)
DECISIONS = (
    *_record("decision", "Whom it is about."),
    Field("date", "date", "Day on which it was made.", _must()),
    Field("text", "string", "In words.", _must()),
    ABOUT,
)
SET_ASIDE = (
    Field("import_id", "integer", "Number of the import.", _must()),
    Field("file", "string", "Name of the file.", _must()),
    Field("row", "integer", "Line of the file.", _must()),
    Field("text", "string", "The row as the file has it."),
    Field("reason", "string", "Why it could not be read.", _must()),
)
CREDITS = (
    Field("exercise", "string", "Id in exercises.csv.", _must()),
    Field("head", "string", "Head that it trains.", _must()),
    Field("credit", "number", "What one hard set gives the head.", _must(minimum=0, maximum=1)),
    Field("grade", "string", "How sure the credit is."),
    Field("source_id", "string", "Where it comes from."),
)
# The catalogue's columns that are not text; etl/catalogue/README.md explains each.
EXERCISE_KINDS = {"bodymass_share": "number", "ladder_step": "number", "reps_low": "number", "reps_high": "number"}
