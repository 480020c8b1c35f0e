"""Whose the rows are that were set aside: by the row's own cell, else by the file, else nobody can tell."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from etl.importing.again import columns_of
from etl.importing.kept import KeptImport, head_of, import_of
from etl.importing.memory import names_said
from etl.importing.mending import WAITING
from etl.normalise.rows import SOURCE_HASH
from etl.refusal import Refusal
from etl.store import erase, reading

DELIMITERS = ",;\t|"
# Whose sets came from a file; where it stored nothing new, from any of its name.
OF_FILE = "select distinct athlete from sets where source = ?"
OF_NAME = "select distinct athlete from sets where starts_with(source, ? || '#')"


def whose_rows(path: str | Path) -> dict[tuple[str | None, str], int]:
    """(athlete, file) -> how many rows of it wait to be mended; None for an athlete where that cannot be told. Those with most rows first.

    A row is of the athlete whose name one of its cells is. Else it is of the one athlete whom the whole file is of: where that was said, or stands in
    the file's name, or where the file has no column of athletes or the row's cell of it is empty.
    """
    with reading(path) as con:
        waiting = con.execute(WAITING, [None, None]).df()
        found: Counter[tuple[str | None, str]] = Counter()
        for (number, file), own in waiting.groupby(["import_id", "file"], sort=False):
            found.update((athlete, file) for athlete in _owners(con, path, import_of(con, int(number)), file, own["text"].tolist()))
    return dict(found.most_common())


def _owners(con: Any, path: str | Path, was: KeptImport, file: str, texts: list[str]) -> list[str | None]:
    digest = next((one["sha256"] for one in was.files if isinstance(one, dict) and one["name"] == file), None)  # none in a store that kept names alone
    people = [name for (name,) in con.execute(OF_FILE, [f"{file}#{(digest or '')[:SOURCE_HASH]}"]).fetchall() or con.execute(OF_NAME, [file]).fetchall()]
    spelled = {spelling.casefold(): athlete for athlete in people for spelling in erase.spellings_of(con, athlete)}
    named = [_named(text, spelled) for text in texts]
    if len(people) != 1 or all(named):
        return named
    (only,) = people
    said = was.answers_for(file).athlete
    if (said or "").casefold() in spelled or (was.by_name and names_said(file) & spelled.keys()):
        return [name or only for name in named]
    if digest is None:
        return named
    try:
        table = head_of(path, was.files, file)
        at = next((column.position for column in columns_of(con, table, was) if column.field == "athlete"), None)
    except Refusal:
        return named
    return [name or (only if at is None or not _cell(text, table.delimiter, at) else None) for name, text in zip(named, texts, strict=True)]


def _named(text: str, spelled: Mapping[str, str]) -> str | None:
    """The one athlete whose name a cell of the row is, whatever parts its cells."""
    cells = {" ".join(cell.split()).casefold() for mark in DELIMITERS for cell in next(csv.reader([text], delimiter=mark), [])}
    found = {spelled[cell] for cell in cells & set(spelled)}
    return found.pop() if len(found) == 1 else None


def _cell(text: str, delimiter: str, at: int) -> str:
    cells = next(csv.reader([text], delimiter=delimiter), [])
    return cells[at].strip() if at < len(cells) else ""
