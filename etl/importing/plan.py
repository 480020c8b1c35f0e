"""What a user said beforehand, and files as they were understood, before anything is stored."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

import pandas as pd
import pyarrow as pa
import pyarrow.compute as pc

from etl.columns import NO_COLUMN, Column
from etl.fast import framed
from etl.importing.gravest import gravest, rank
from etl.names import Match
from etl.normalise import Normal
from etl.packed import Packed
from etl.read import TextTable
from etl.refusal import Refusal
from etl.tables import in_use

Progress = Callable[[float, str], None]


def silent(share: float, text: str) -> None:
    """The progress of a caller who shows none."""


@dataclass(frozen=True)
class Answers:
    """What the user said beforehand. None: the file decides, or a question is asked.

    day_first_before: what was said of an earlier file with the same header, asked only where the file leaves its dates open.
    year: that of the oldest date, for dates that leave it out.
    """

    athlete: str | None = None
    unit: str | None = None
    day_first: bool | None = None
    columns: dict[str, str] = field(default_factory=dict)
    day_first_before: bool | None = None
    year: int | None = None

    def over(self, before: Answers) -> Answers:
        """These answers, and where they leave something open, those given before. A header that is named anew is no longer what it was.

        >>> Answers(columns={"load": "Weight"}).over(Answers(unit="lb", columns={"body_mass": "weight", "date": "Day"}))
        Answers(athlete=None, unit='lb', day_first=None, columns={'date': 'Day', 'load': 'Weight'}, day_first_before=None, year=None)
        """
        named = {header.strip().casefold() for header in self.columns.values()} - {NO_COLUMN}
        stay = {name: header for name, header in before.columns.items() if header.strip().casefold() not in named and name not in self.columns}
        return replace(self, athlete=self.athlete or before.athlete, unit=self.unit or before.unit,
                       day_first=before.day_first if self.day_first is None else self.day_first, columns=stay | self.columns,
                       year=before.year if self.year is None else self.year)

    @property
    def say_nothing(self) -> bool:
        return self == Answers()


@dataclass(frozen=True)
class Understood:
    """One file as it was understood. `refusal` is set where it cannot be read as it is; then `normal` is None, and of `table` and `columns` there is
    what was known by then.
    """

    name: str
    data: bytes | Packed
    sha256: str
    table: TextTable | None = None
    columns: tuple[Column, ...] = ()
    normal: Normal | None = None
    matches: tuple[Match, ...] = ()
    refusal: Refusal | None = None
    left_out: int = 0  # rows that a person said to leave out
    answers: Answers | None = None  # as they were for this file: what was said now, else of an earlier file with its header

    def sets_of(self, rows: Sequence[int]) -> pd.DataFrame:
        """The sets of some rows (physical lines) of a file that was understood, in their order, with every column of the set log."""
        sets = self.normal.sets
        if isinstance(sets, pd.DataFrame):
            return sets[sets["source_row"].isin(rows)]
        return framed(sets.filter(pc.is_in(sets["source_row"], pa.array(rows, sets["source_row"].type))))


@dataclass(frozen=True)
class Preview:
    """All files of one import, understood but not stored."""

    files: tuple[Understood, ...]
    answers: Answers
    names_give_athlete: bool = False
    catalogue: str = field(default_factory=lambda: in_use().key)  # by which the names were matched

    @property
    def refusals(self) -> list[Refusal]:
        return [f.refusal for f in self.files if f.refusal]

    @property
    def assumed(self) -> list[str]:
        """What was taken for granted, each sentence once, with its file where there are several; what changes most stands first."""
        said = [(f.name, text) for f in self.files if f.normal for text in (*f.normal.assumed, *_names_assumed(f.matches), *_left_out(f.left_out))]
        many = len(self.files) > 1
        said = sorted(said, key=lambda one: rank(one[1]))
        return [*gravest(self.files), *dict.fromkeys(f"{name}: {text}" if many else text for name, text in said)]


def _left_out(rows: int) -> list[str]:
    return [f"{rows} {'row' if rows == 1 else 'rows'} left out, as was said earlier (evenset mend --list)"] if rows else []


def _names_assumed(matches: tuple[Match, ...]) -> list[str]:
    return [m.assumed for m in matches if m.assumed]
