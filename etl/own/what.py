"""What somebody changed in the catalogue, as values. It never touches the shipped tables: `etl.tables` lays it over them."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any

OWN_SOURCE = "own_change"  # in sources.csv
OWN_GRADE = "own"  # in place of A, B or C
OWN_ID = "own_"  # begins the id of an exercise of one's own, so that no shipped one ever has it


@dataclass(frozen=True)
class OwnExercise:
    """An exercise that the catalogue lacks. The columns are those of exercises.csv; bodymass_share is 0 for an external load."""

    exercise_id: str
    name: str
    movement_pattern: str
    equipment: str
    laterality: str
    mode: str
    load_basis: str
    bodymass_share: float
    per_hand: str
    long_end: str
    level: str
    inverted: str
    mostly_eccentric: str
    strength_estimate: str
    reps_low: float | None = None
    reps_high: float | None = None
    note: str = ""

    def row(self) -> dict[str, Any]:
        """The row as exercises.csv would have it; what is not said is left out."""
        said = {field.name: getattr(self, field.name) for field in fields(self) if field.name != "note"}
        own = {"bodymass_share_source_id": OWN_SOURCE, "bodymass_share_mark": "E", "source_id": OWN_SOURCE, "where_in_source": self.note,
               "confidence": "C", "confidence_basis": "said by the keeper of this store"}
        return {name: value for name, value in (said | own).items() if value is not None}


@dataclass(frozen=True)
class OwnCredit:
    """A head's credit in an exercise, in place of the shipped one: 1, 0.5, 0.25, or 0 for none."""

    exercise_id: str
    head_id: str
    credit: float
    note: str = ""

    def row(self) -> dict[str, Any]:
        """The row as credits.csv would have it."""
        return {"exercise_id": self.exercise_id, "head_id": self.head_id, "credit": self.credit, "grade": OWN_GRADE, "source_id": OWN_SOURCE,
                "where_in_source": self.note}


@dataclass(frozen=True)
class OwnTarget:
    """The band of a part, hard sets a week, in place of that of the level. athlete: "" for everybody."""

    athlete: str
    part_id: str
    low: float
    high: float
    note: str = ""


@dataclass(frozen=True)
class OwnName:
    """What a written name means: an exercise's id and the modifiers that the name implies; "" for an exercise that the catalogue lacks."""

    written: str
    exercise_id: str
    modifiers: str = ""


@dataclass(frozen=True)
class Own:
    """The exercises and credits that lie over the shipped tables."""

    exercises: tuple[OwnExercise, ...] = ()
    credits: tuple[OwnCredit, ...] = ()

    def __hash__(self) -> int:
        return hash(self.key)  # asked for at each opening of a store

    @cached_property
    def key(self) -> str:
        """A text that is the same for the same changes; "" for none."""
        return hashlib.sha256(repr((self.exercises, self.credits)).encode()).hexdigest()[:16] if self.exercises or self.credits else ""


NOTHING = Own()


@dataclass(frozen=True)
class Changes:
    """All that somebody changed: what lies over the tables, the bands, and what written names mean."""

    exercises: tuple[OwnExercise, ...] = ()
    credits: tuple[OwnCredit, ...] = ()
    targets: tuple[OwnTarget, ...] = ()
    names: tuple[OwnName, ...] = ()

    def __len__(self) -> int:
        return len(self.exercises) + len(self.credits) + len(self.targets) + len(self.names)
