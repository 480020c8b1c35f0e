"""Files -> a preview: read, recognised, normalised and matched, without touching the store."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from types import MappingProxyType

from etl.columns import NO_COLUMN, Column, ColumnQuestion, recognise
from etl.fast import Unfit, blocks
from etl.fast.blocks import Source
from etl.importing import large
from etl.importing.exercises import load_header, meant, with_exercises
from etl.importing.history import days_of
from etl.importing.memory import Known, shape_of
from etl.importing.patches import mended, merged
from etl.importing.plan import Answers, Preview, Progress, Understood, silent
from etl.importing.units import units_fit
from etl.names import Matcher
from etl.normalise import normalise
from etl.read import TextTable, read_table
from etl.refusal import Refusal
from etl.shapes import later_header, second_header, unfold
from etl.told import chosen, otherwise

SAID_NOW = "columns read as you chose: "
SAID_EARLIER = f"columns read as was said of an earlier file with this header {otherwise('columns')}: "


def understand(
    files: Iterable[tuple[str, bytes | Path]], answers: Answers, *, known: Known = Known(),
    names_give_athlete: bool = False, today: date | None = None, progress: Progress = silent, of_files: Mapping[str, Answers] = MappingProxyType({}),
) -> Preview:
    """Read each (name, its bytes or its path). known: what the store knows. A path is read once; see `large`.

    names_give_athlete: a file without an athlete column belongs to the athlete that its name says. of_files: the answers of single files, by
    their names, in place of `answers`.
    """
    files = _named_apart(files)
    matcher = Matcher.from_catalogue(known.decisions)
    done = []
    for position, (name, data) in enumerate(files):
        progress(position / len(files), f"Reading {name}")
        asked = of_files.get(name, answers), known, matcher, names_give_athlete, today or date.today()
        done.append(_understand_one(name, data, *asked) if isinstance(data, bytes) else _understand_path(
            name, data, asked, lambda share, at=position, name=name: progress((at + share) / len(files), f"Reading {name}")))
    return Preview(tuple(done), answers, names_give_athlete)


def _understand_one(
    name: str, data: bytes, answers: Answers, known: Known, matcher: Matcher, by_name: bool, today: date,
) -> Understood:
    file = Understood(name, data, hashlib.sha256(data).hexdigest())
    try:
        table = second_header(read_table(data, name))
        file = replace(file, table=table)
        answers, remembered = with_remembered(table, answers, known)
        file = replace(file, answers=answers)
        fields = recognised(table, answers, matcher)
        put_right, left_out = mended(table, known.mended, fields)
        if put_right is not table:
            table, fields = put_right, recognised(put_right, answers, matcher)
        file = replace(file, columns=fields, left_out=left_out)
        normal = normalise(
            unfold(table, fields), athlete=answers.athlete, unit=answers.unit, day_first=answers.day_first,
            day_first_before=answers.day_first_before, file_athlete=known.athlete_of_file(Path(name).stem) if by_name else None,
            other_days=lambda athlete: days_of(known, athlete), today=today, year=answers.year)
        normal = merged(normal, known.athletes)
        matches = tuple(matcher.match(normal.sets["exercise_as_written"].drop_duplicates()))
        normal = with_exercises(normal, matches, table, load_header(fields))
        matches = meant(matches, normal.sets)
        normal = replace(normal, assumed=[*remembered, *normal.assumed, *units_fit(normal, name, known.history)])
        return replace(file, normal=normal, matches=matches)
    except ColumnQuestion as question:
        return replace(file, refusal=_in_file(question, name), columns=question.columns)
    except Refusal as refusal:
        return replace(file, refusal=_in_file(refusal, name))


def recognised(table: TextTable, answers: Answers, matcher: Matcher) -> tuple[Column, ...]:
    """The columns of a table, with what was said of them."""
    if (below := later_header(table)) is not None:
        raise Refusal("A second table with a header of its own begins here, and its columns may be others", f"{table.name}, line {table.line_no[below]}",
                      "Save each table as a file of its own, and import them together.")
    return recognise(table, answers.columns or None, lambda text: matcher.match([text])[0].exercise is not None)


def _named_apart(files: Iterable[tuple[str, bytes | Path]]) -> list[tuple[str, bytes | Path]]:
    """Two files of one name in one import have to be told apart: the second one of log.csv is called "log.csv (2)"."""
    taken: set[str] = set()
    found = []
    for name, data in files:
        own = next(n for n in (name, *(f"{name} ({k})" for k in range(2, len(taken) + 3))) if n not in taken)
        taken.add(own)
        found.append((own, data))
    return found


def _understand_path(name: str, path: Path, asked: tuple, progress: Callable[[float], None]) -> Understood:
    """A file by its path: a large one by the fast path where that can read it, else as bytes."""
    file = Understood(name, b"", "")
    try:
        source = Source(path, name)
        if source.size >= blocks.FAST_BYTES:
            try:
                found = large.understand_fast(source, name, *asked, with_remembered, progress)
                return replace(found, refusal=_in_file(found.refusal, name)) if found.refusal else found
            except Unfit:
                pass
        packed = source.packed()
        return replace(_understand_one(name, packed.bytes(), *asked), data=packed)
    except Refusal as refusal:
        return replace(file, refusal=_in_file(refusal, name))


def _in_file(refusal: Refusal, name: str) -> Refusal:
    if name not in refusal.where:
        refusal.where = f"{name}, {refusal.where}" if refusal.where else name
    return refusal


def with_remembered(table: TextTable, answers: Answers, known: Known) -> tuple[Answers, list[str]]:
    """The answers, filled up with what was said of an earlier file with the same header, and a sentence where that was so."""
    kept = known.shapes.get(shape_of(table.header))
    if kept is None:
        return answers, []
    there = {header.casefold() for header in table.header} | {NO_COLUMN}
    columns = {f: h for f, h in kept.columns.items() if (h.strip().casefold() in there or h.startswith("#")) and h not in answers.columns.values()}
    filled = replace(answers, columns=columns | answers.columns, unit=answers.unit or kept.unit, day_first_before=kept.day_first)
    said = []
    if filled.columns != answers.columns:
        said.append((SAID_NOW if kept.now else SAID_EARLIER)
                    + ", ".join(chosen(field, header) for field, header in columns.items() if field not in answers.columns))
    if filled.unit != answers.unit:
        said.append(f"where the file names no unit, loads are read as {filled.unit}, as was said of an earlier file with this header {otherwise('unit')}")
    return filled, said
