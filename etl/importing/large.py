"""A file that is named by its path: read once, a large one by the fast path where that can read it."""

from __future__ import annotations

import csv
from collections.abc import Callable, Collection
from dataclasses import replace
from datetime import date
from pathlib import Path

import pandas as pd
import pyarrow as pa
import pyarrow.compute as pc

from etl.columns import HEAD_ROWS, ColumnQuestion, recognise
from etl.fast import Plan, Unfit, decoded, read_fast
from etl.fast.blocks import Source
from etl.importing.exercises import load_header, load_thing, meant, with_exercises
from etl.importing.history import days_of
from etl.importing.memory import History, Known
from etl.importing.patches import mended, merged
from etl.importing.plan import Answers, Understood
from etl.importing.units import units_fit
from etl.names import Match, Matcher
from etl.normalise import Habits, Normal, normalise
from etl.read import TextTable, read_table
from etl.read.records import TITLE_LINES
from etl.shapes import later_header, second_header, unfold

Remembered = Callable[[TextTable, Answers, Known], tuple[Answers, list[str]]]


def understand_fast(
    source: Source, name: str, answers: Answers, known: Known, matcher: Matcher, by_name: bool, today: date,
    remembered: Remembered, progress: Callable[[float], None],
) -> Understood:
    """The file as the careful path would understand it, its sets as an Arrow table; where its columns have to be asked about, its head with the question.

    Raises Unfit where the careful path has to read it.
    """
    head = _head(source, name)
    answers, said = remembered(head, answers, known)
    try:
        columns = recognise(head, answers.columns or None, lambda text: matcher.match([text])[0].exercise is not None)
    except ColumnQuestion as question:
        return Understood(name, b"", "", head, question.columns, refusal=question, answers=answers)
    if load_thing(load_header(columns)):
        raise Unfit("loads whose header says what they are of, which decides the exercise")
    matches: dict[str, Match] = {}
    said_of: dict[Match, None] = {}
    left_out: list[int] = []
    file_athlete = known.athlete_of_file(Path(name).stem) if by_name else None

    def careful(table: TextTable, habits: Habits) -> tuple[Normal, Normal]:
        if later_header(table) is not None:
            raise Unfit("a second table below the first")
        table, out = mended(table, known.mended)
        left_out.append(out)
        raw = merged(normalise(unfold(table, columns, habits.marks), athlete=answers.athlete, unit=answers.unit, file_athlete=file_athlete,
                               today=today, habits=habits), known.athletes)
        here = raw.sets["exercise_as_written"].drop_duplicates().tolist()
        new = [written for written in here if written not in matches]
        matches.update(zip(new, matcher.match(new), strict=True))
        normal = with_exercises(raw, tuple(matches[written] for written in here), table)
        said_of.update(dict.fromkeys(meant(matches.values(), normal.sets)))
        return raw, normal

    def other_days(athletes: Collection[str]) -> set[date]:
        return {day for athlete in athletes for day in days_of(known, athlete)}

    spoken_of = frozenset(cell for row in csv.reader(known.mended_texts, delimiter=head.delimiter) for cell in row)
    plan = Plan(head=head, columns=columns, careful=careful, spoken_of=spoken_of, other_days=other_days, today=today, day_first=answers.day_first,
                day_first_before=answers.day_first_before, athlete=answers.athlete or file_athlete)
    normal, packed = read_fast(source, plan, progress)
    there = set(_distinct(normal.sets, "exercise_as_written"))
    assumed = [*said, *normal.assumed, *units_fit(_lifts(normal, known.history), name, known.history)]
    return Understood(name, packed, packed.sha256, head, columns, replace(normal, assumed=assumed), tuple(match for match in said_of if match.name in there),
                      left_out=sum(left_out), answers=answers)


def _head(source: Source, name: str) -> TextTable:
    """The first rows of the file, as the careful path reads them."""
    data = source.head(HEAD_ROWS + TITLE_LINES + 1)
    if data.count(b"\r") != data.count(b"\r\n"):
        raise Unfit("lines that end in a carriage return alone")
    table = read_table(data, name)
    if table.encoding != "utf-8" or table.rows.empty or second_header(table) is not table:
        raise Unfit("another encoding, or a header of two lines")
    return table


def _distinct(sets: pa.Table, name: str) -> list[str]:
    """The distinct texts of a column, of those that stand in a row."""
    found: dict[str, None] = {}
    for chunk in sets.column(name).chunks:
        there = pc.unique(chunk.indices) if isinstance(chunk, pa.DictionaryArray) else None
        texts = chunk.dictionary.take(there.drop_null()) if there is not None else pc.unique(chunk)
        found |= dict.fromkeys(text for text in texts.to_pylist() if text is not None)
    return list(found)


def _lifts(normal: Normal, history: Callable[[str], History]) -> Normal:
    """The loads of those athletes who have loads in the store, as a frame."""
    known = [athlete for athlete in _distinct(normal.sets, "athlete") if history(athlete).loads]
    names = ["athlete", "exercise", "load_kg", "planned"]
    parts = []
    if known and "load_kg" in normal.sets.column_names and "exercise" in normal.sets.column_names:
        for batch in normal.sets.select(names).to_batches():
            plain = decoded(pa.Table.from_batches([batch]))
            parts.append(plain.filter(pc.is_in(plain["athlete"], pa.array(known))).to_pandas())
    frame = pd.concat(parts) if parts else pd.DataFrame(columns=names)
    return replace(normal, sets=frame.astype({"athlete": "str", "exercise": "str", "load_kg": "float64", "planned": "bool"}))
