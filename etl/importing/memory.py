"""What the store knows that helps to read the next file."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from etl.store import mended, reading, shapes_seen, spellings

if TYPE_CHECKING:
    from etl.importing.plan import Preview


@dataclass(frozen=True)
class Kept:
    """What a person said of an earlier file with the same header. None and {}: nothing. now: the columns were said of the file itself."""

    columns: dict[str, str] = field(default_factory=dict)
    day_first: bool | None = None
    unit: str | None = None
    now: bool = False


@dataclass(frozen=True)
class History:
    """What the store holds of one athlete. loads: exercise id -> median load in kg over the sets that have one."""

    days: frozenset[date] = frozenset()
    loads: dict[str, float] = field(default_factory=dict)


def _no_history(athlete: str) -> History:
    return History()


@dataclass(frozen=True)
class Known:
    """Empty for a file that is read on its own.

    decisions: name key -> (exercise, modifiers) that a person decided earlier; an exercise "" is not in the catalogue.
    athletes: a spelling in small letters (casefold) -> the athlete that it was merged into.
    shapes: `shape_of` a header -> what a person said of an earlier file with that header.
    mended: `row_key` of a row's cells -> the cells it has now, or None for a row to leave out (it counts as already stored).
    stored: names of the athletes that the store has.
    mended_texts: those rows as their files wrote them. history: the athlete's History, read from the store when it is asked for.
    """

    decisions: dict[str, tuple[str, str]] = field(default_factory=dict)
    athletes: dict[str, str] = field(default_factory=dict)
    shapes: dict[str, Kept] = field(default_factory=dict)
    mended: dict[str, list[str] | None] = field(default_factory=dict)
    mended_texts: tuple[str, ...] = ()
    history: Callable[[str], History] = _no_history
    stored: frozenset[str] = frozenset()

    def athlete_of_file(self, stem: str) -> str:
        """The athlete that a file's name says, underscores read as blanks; as it is where the store knows it so."""
        return stem if stem in self.stored or stem.casefold() in self.athletes else _with_blanks(stem)


def names_said(file: str) -> frozenset[str]:
    """Whose a file may be by its name, in small letters: as it stands, or with underscores read as blanks.

    >>> sorted(names_said("Ida_K.csv"))
    ['ida k', 'ida_k']
    """
    stem = Path(file).stem
    return frozenset({stem.casefold(), _with_blanks(stem).casefold()})


def _with_blanks(stem: str) -> str:
    return " ".join(stem.replace("_", " ").split())


def shape_of(header: Sequence[str]) -> str:
    """The hash of a header's words, in their order: files with one shape are exports of one kind."""
    return hashlib.md5("\x1f".join(" ".join(cell.casefold().split()) for cell in header).encode(), usedforsecurity=False).hexdigest()


def row_key(cells: Sequence[str]) -> str:
    """The hash of a row's cells (see `patches.row_keys` for those that stand above it); blank cells at its end do not count, so that short rows and filled up ones are the same."""
    texts = [cell if cell.strip() else "" for cell in cells]
    while texts and not texts[-1]:
        texts.pop()
    return hashlib.md5("\x1f".join(texts).encode(), usedforsecurity=False).hexdigest()


def known(path: str | Path) -> Known:
    """What the store at `path` knows."""
    def ask(athlete: str) -> History:
        with reading(path) as con:
            return _history(con, athlete)

    with reading(path) as con:
        return _known(con, cache(ask), None)


def known_by(con: Any, until: int | None = None) -> Known:
    """What the open store knows. until: an import's number, for answers given for a shape: as they stood once it was made."""
    return _known(con, lambda athlete: _history(con, athlete), until)


def remember(con: Any, preview: Preview, again: int | None = None) -> None:
    """Keep what a person answered for the next file of the same header; called in the import's transaction, after it has its number.

    again: the number of the import that was read again with these answers, so that they say nothing of imports that were made since.
    """
    for file in preview.files:
        if file.table is not None:
            said = file.answers or preview.answers
            shapes_seen.remember(con, shape_of(file.table.header), said.columns, said.day_first, said.unit, again)


def _known(con: Any, history: Callable[[str], History], until: int | None) -> Known:
    decided = con.execute("select name_key, exercise, modifiers from name_decisions").fetchall()
    stored = frozenset(athlete for (athlete,) in con.execute("select athlete from athletes").fetchall())
    return Known(
        decisions={key: (exercise, modifiers) for key, exercise, modifiers in decided}, athletes=spellings.all_of(con),
        shapes={shape: Kept(*said) for shape, said in shapes_seen.all_of(con, until).items()}, mended=mended.all_of(con), mended_texts=mended.texts(con),
        history=lambda athlete: history(athlete) if athlete in stored else History(), stored=stored)


def _history(con: Any, athlete: str) -> History:
    """Of one athlete only: the store may hold many millions of sets of others."""
    days = con.execute("select distinct date from sets where athlete = ? and not planned", [athlete]).fetchall()
    loads = con.execute("select exercise, median(load_kg) from sets where athlete = ? and exercise is not null and load_kg is not null "
                        "and not planned group by exercise", [athlete]).fetchall()
    return History(frozenset(day for (day,) in days), dict(loads))
